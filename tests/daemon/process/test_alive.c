/* Signs of life come from the loop, after the bridges' cycles (S7). */
#include "process/alive.h"
#include "support/check.h"
#include "support/daemon/tree.h"
#include "support/logged.h"

#include <event2/event.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

struct stage {
    struct tree tree;
    struct event_base *base;
    struct alive_setup setup;
    char address[128], device[128];
    int manager;
    unsigned beats;
    char heard[256];
};

static const char *hear_all(struct stage *stage) {
    size_t length = 0;
    ssize_t count;
    while ((count = recv(stage->manager, stage->heard + length, 32, MSG_DONTWAIT)) > 0) {
        length += (size_t)count;
        stage->heard[length++] = ' ';
    }
    stage->heard[length] = '\0';
    return stage->heard;
}

/* What was told before the cycles had run would be told by a loop that hangs in one of them. */
static void end_loop_after_three(void *context) {
    struct stage *stage = context;
    if (++stage->beats == 1) {
        assert_string_equal(hear_all(stage), "");
        tree_expect(&stage->tree, "watchdog", "");
    } else if (stage->beats == 3) {
        event_base_loopexit(stage->base, NULL);
    }
}

static void prepare(struct stage *stage) {
    *stage = (struct stage){.base = event_base_new()};
    tree_make(&stage->tree);
    tree_put(&stage->tree, "watchdog", "");
    snprintf(stage->address, sizeof stage->address, "%s/notify", stage->tree.root);
    snprintf(stage->device, sizeof stage->device, "%s/watchdog", stage->tree.root);
    struct sockaddr_un at = {.sun_family = AF_UNIX};
    memcpy(at.sun_path, stage->address, strlen(stage->address));
    stage->manager = socket(AF_UNIX, SOCK_DGRAM, 0);
    assert_int_equal(bind(stage->manager, (const struct sockaddr *)&at, sizeof at), 0);
    stage->setup = (struct alive_setup){.notify_address = stage->address,
                                        .notify_us = 3000,
                                        .watchdog = stage->device,
                                        .beat = end_loop_after_three,
                                        .context = stage};
}

static void end_stage(struct stage *stage) {
    close(stage->manager);
    event_base_free(stage->base);
    tree_remove(&stage->tree);
}

static void each_sign_of_life_follows_a_cycle(void **state) {
    (void)state;
    struct stage stage;
    struct error error;
    prepare(&stage);
    struct alive *alive = alive_new(stage.base, &stage.setup, &error);
    assert_non_null(alive);
    assert_string_equal(hear_all(&stage), "READY=1 ");
    event_base_dispatch(stage.base);
    assert_int_equal(stage.beats, 3);
    assert_string_equal(hear_all(&stage), "WATCHDOG=1 WATCHDOG=1 WATCHDOG=1 ");
    tree_expect(&stage.tree, "watchdog", "ppp");
    alive_reloading(alive);
    assert_string_equal(hear_all(&stage), "RELOADING=1 ");
    alive_stopping(alive);
    assert_string_equal(hear_all(&stage), "STOPPING=1 ");
    alive_still(alive); /* it waits for servers, and is not hung */
    assert_string_equal(hear_all(&stage), "WATCHDOG=1 ");
    tree_expect(&stage.tree, "watchdog", "ppp");
    alive_free(alive, true);
    tree_expect(&stage.tree, "watchdog", "pppV");
    end_stage(&stage);
}

static void outputs_that_are_not_safe_leave_the_watchdog_running(void **state) {
    (void)state;
    struct stage stage;
    struct error error;
    prepare(&stage);
    struct alive *alive = alive_new(stage.base, &stage.setup, &error);
    hear_all(&stage);
    event_base_dispatch(stage.base);
    alive_free(alive, false);
    tree_expect(&stage.tree, "watchdog", "ppp");
    end_stage(&stage);
}

/* A third, for two may be lost (sd_watchdog_enabled(3) asks for half the time, from memory). */
static void sign_comes_often_enough_for_whoever_is_worried_first(void **state) {
    (void)state;
    static const struct {
        uint64_t notify_us;
        int watchdog_s;
        uint64_t interval_us;
    } cases[] = {
        {3000000, 0, 1000000}, {0, 3, 1000000},        {9000000, 6, 2000000}, {6000000, 9, 2000000},
        {0, 60, 5000000},      {60000000, 0, 5000000}, {0, 0, 5000000},       {15, 0, 5},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_int_equal(alive_interval_us(cases[i].notify_us, cases[i].watchdog_s),
                         cases[i].interval_us);
    }
}

static void manager_that_cannot_be_told_is_complained_of_once(void **state) {
    (void)state;
    struct stage stage;
    struct error error;
    prepare(&stage);
    stage.setup.notify_address = "/nowhere/notify";
    logged_begin();
    struct alive *alive = alive_new(stage.base, &stage.setup, &error);
    event_base_dispatch(stage.base);
    alive_stopping(alive);
    logged_end();
    assert_int_equal(stage.beats, 3);
    assert_int_equal(logged_lines("cannot notify the service manager: /nowhere/notify"), 1);
    alive_free(alive, true);
    end_stage(&stage);
}

static void nobody_who_listens_needs_no_sign(void **state) {
    (void)state;
    struct stage stage;
    struct error error;
    prepare(&stage);
    stage.setup.watchdog = NULL;
    stage.setup.notify_us = 0; /* it wants to know of the start and the end alone */
    struct alive *alive = alive_new(stage.base, &stage.setup, &error);
    assert_non_null(alive);
    assert_int_equal(event_base_dispatch(stage.base), 1); /* no event is there */
    assert_int_equal(stage.beats, 0);
    assert_string_equal(hear_all(&stage), "READY=1 ");
    alive_free(alive, true);
    end_stage(&stage);
}

static void missing_watchdog_is_refused(void **state) {
    (void)state;
    struct stage stage;
    struct error error;
    prepare(&stage);
    stage.setup.watchdog = "/nowhere";
    assert_null(alive_new(stage.base, &stage.setup, &error));
    assert_string_equal(hear_all(&stage), ""); /* not ready */
    end_stage(&stage);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_sign_of_life_follows_a_cycle),
        cmocka_unit_test(outputs_that_are_not_safe_leave_the_watchdog_running),
        cmocka_unit_test(sign_comes_often_enough_for_whoever_is_worried_first),
        cmocka_unit_test(manager_that_cannot_be_told_is_complained_of_once),
        cmocka_unit_test(nobody_who_listens_needs_no_sign),
        cmocka_unit_test(missing_watchdog_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
