#include "net/setup.h"
#include "process/clock.h"
#include "support/check.h"

#include <time.h>

/* In place of the C library's (tests/CMakeLists.txt): both clocks stand where the test sets them,
 * unless that is at 0. */
static uint64_t monotonic_us, wall_us;

int __real_clock_gettime(clockid_t id, struct timespec *now);
int __wrap_clock_gettime(clockid_t id, struct timespec *now);
int __wrap_clock_gettime(clockid_t id, struct timespec *now) {
    uint64_t set_us = id == CLOCK_REALTIME ? wall_us : monotonic_us;
    if (set_us == 0) {
        return __real_clock_gettime(id, now);
    }
    *now = (struct timespec){.tv_sec = (time_t)(set_us / 1000000),
                             .tv_nsec = (long)(set_us % 1000000) * 1000};
    return 0;
}

/* At this pace a layout second is a real millisecond: the loops below end by themselves. */
static const double pace = 1000;

static uint64_t run_until_it_stands(struct layout_clock *clock, uint64_t limit_us) {
    uint64_t last_us = 0;
    for (;;) {
        uint64_t now_us = clock_now_us(clock);
        assert_true(now_us >= last_us);
        if (now_us >= limit_us) {
            return now_us;
        }
        last_us = now_us;
    }
}

static void paced_time_waits_for_a_late_bridge_and_goes_on_from_there(void **state) {
    (void)state;
    struct layout_clock clock;
    clock_start(&clock, pace);
    clock_set_limit(&clock, 3, 5000000);
    uint64_t stands_us = run_until_it_stands(&clock, 5000000);
    for (int i = 0; i < 100000; i++) {
        uint64_t now_us = clock_now_us(&clock);
        assert_true(now_us >= stands_us && now_us <= 5010000);
    }
    assert_true(clock.waited_us > 0);
    clock_set_limit(&clock, 3, UINT64_MAX);
    uint64_t after_us = clock_now_us(&clock);
    assert_true(after_us >= 5000000);
    run_until_it_stands(&clock, after_us + 1000000);
}

static void earliest_limit_counts(void **state) {
    (void)state;
    struct layout_clock clock;
    clock_start(&clock, pace);
    clock_set_limit(&clock, 0, 9000000);
    clock_set_limit(&clock, 7, 2000000);
    run_until_it_stands(&clock, 2000000);
    for (int i = 0; i < 100000; i++) {
        assert_true(clock_now_us(&clock) <= 2010000);
    }
}

static void real_time_waits_for_nobody(void **state) {
    (void)state;
    struct layout_clock clock;
    clock_start(&clock, 1);
    clock_set_limit(&clock, 0, 0);
    run_until_it_stands(&clock, 15000);
    assert_int_equal(clock.waited_us, 0);
}

static void every_bridge_has_its_limit(void **state) {
    (void)state;
    assert_true((int)CLOCK_LIMITS_MAX >= (int)NET_BRIDGES_MAX);
}

static void real_time_of_a_layout_time_is_shorter_by_the_pace(void **state) {
    (void)state;
    struct layout_clock clock;
    clock_start(&clock, 20);
    struct timeval real = clock_real(&clock, 30000000);
    assert_int_equal(real.tv_sec, 1);
    assert_int_equal(real.tv_usec, 500000);
    assert_int_equal(clock_real(&clock, 1).tv_usec, 1); /* never early */
    uint64_t epoch_us = clock_epoch_us(&clock);
    assert_true(epoch_us >= clock.epoch_us);
}

/* The wall's clock is set, by a person or by the network: no timer of a bridge may run by it. */
static void time_of_day_that_is_set_moves_nothing(void **state) {
    (void)state;
    static const uint64_t hour_us = UINT64_C(3600000000);
    struct layout_clock clock;
    monotonic_us = 100 * hour_us;
    wall_us = 400000 * hour_us;
    clock_start(&clock, 1);
    uint64_t begun_us = clock_now_us(&clock);
    monotonic_us += 7;
    wall_us -= hour_us;
    assert_int_equal(clock_now_us(&clock), begun_us + 7);
    assert_int_equal(clock_epoch_us(&clock), 400000 * hour_us + begun_us + 7);
    wall_us += 2 * hour_us;
    assert_int_equal(clock_now_us(&clock), begun_us + 7);
    monotonic_us = wall_us = 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(paced_time_waits_for_a_late_bridge_and_goes_on_from_there),
        cmocka_unit_test(earliest_limit_counts),
        cmocka_unit_test(real_time_waits_for_nobody),
        cmocka_unit_test(every_bridge_has_its_limit),
        cmocka_unit_test(time_of_day_that_is_set_moves_nothing),
        cmocka_unit_test(real_time_of_a_layout_time_is_shorter_by_the_pace),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
