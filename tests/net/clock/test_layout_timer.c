#include "net/clock/layout_timer.h"
#include "support/check.h"

#include <event2/event.h>

struct stage {
    struct event_base *base;
    struct net_host host;
    struct layout_timer timer;
    uint64_t now_us;
    unsigned looks; /* at the layout's clock */
    unsigned rings;
};

/* Layout time goes on by a second each time somebody looks. */
static uint64_t look(void *context) {
    struct stage *stage = context;
    stage->looks++;
    stage->now_us += 1000000;
    return stage->now_us;
}

static void ring(void *context) {
    struct stage *stage = context;
    stage->rings++;
}

static void setup_stage(struct stage *stage) {
    *stage = (struct stage){.base = event_base_new()};
    stage->host = (struct net_host){.context = stage, .now_us = look, .pace = 1e9};
    assert_true(layout_timer_init(&stage->timer, stage->base, &stage->host, ring, stage));
}

static void end_stage(struct stage *stage) {
    layout_timer_free(&stage->timer);
    event_base_free(stage->base);
}

static void timer_rings_once_at_layout_time(void **state) {
    (void)state;
    struct stage stage;
    setup_stage(&stage);
    layout_timer_set(&stage.timer, 5000000);
    event_base_dispatch(stage.base); /* returns when no event is left */
    assert_int_equal(stage.rings, 1);
    assert_int_equal(stage.now_us, 5000000);
    assert_int_equal(stage.looks, 5); /* too early four times: once at the setting */
    end_stage(&stage);
}

static void cancelled_timer_is_still(void **state) {
    (void)state;
    struct stage stage;
    setup_stage(&stage);
    layout_timer_set(&stage.timer, 5000000);
    layout_timer_cancel(&stage.timer);
    event_base_dispatch(stage.base);
    assert_int_equal(stage.rings, 0);
    assert_int_equal(stage.looks, 1);
    end_stage(&stage);
}

static void real_time_is_layout_time_by_the_pace(void **state) {
    (void)state;
    assert_int_equal(layout_timer_real_us(30000000, 1), 30000000);
    assert_int_equal(layout_timer_real_us(30000000, 60), 500000);
    assert_int_equal(layout_timer_real_us(10, 3), 4);
    assert_int_equal(layout_timer_real_us(0, 1), 1);
    assert_int_equal(layout_timer_real_us(UINT64_MAX, 1), 86400000000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(timer_rings_once_at_layout_time),
        cmocka_unit_test(cancelled_timer_is_still),
        cmocka_unit_test(real_time_is_layout_time_by_the_pace),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
