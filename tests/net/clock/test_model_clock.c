#include "net/clock/model_clock.h"
#include "protocol/request.h"
#include "support/check.h"

static const uint64_t second_us = 1000000;

static void check_reads(const struct model_clock *clock, uint64_t now_us, uint32_t day,
                        uint32_t hour, uint32_t minute, uint32_t second) {
    struct model_time time = model_clock_read(clock, now_us);
    assert_int_equal(time.day, day);
    assert_int_equal(time.hour, hour);
    assert_int_equal(time.minute, minute);
    assert_int_equal(time.second, second);
}

static void clock_runs_by_its_ratio(void **state) {
    (void)state;
    struct model_clock clock = {0};
    uint64_t start_us = 1000 * second_us;
    model_clock_start(&clock, start_us, 12, 1);
    check_reads(&clock, start_us, 0, 0, 0, 0);
    check_reads(&clock, start_us + 5 * second_us, 0, 0, 1, 0);
    check_reads(&clock, start_us + 7200 * second_us, 1, 0, 0, 0);
}

static void changed_ratio_keeps_the_time(void **state) {
    (void)state;
    struct model_clock clock = {0};
    model_clock_start(&clock, 0, 60, 1);
    model_clock_start(&clock, 61 * second_us, 1, 2);
    check_reads(&clock, 61 * second_us, 0, 1, 1, 0);
    check_reads(&clock, 65 * second_us, 0, 1, 1, 2);
}

static void time_is_reached_when_said_and_not_before(void **state) {
    (void)state;
    static const struct {
        uint32_t fx, fy;
    } ratios[] = {{1, 1}, {7, 3}, {3, 7}, {2000, 1}, {1, 2000}, {1999, 2000}};
    struct model_time time = {.day = 3, .hour = 4, .minute = 5, .second = 7};
    for (size_t i = 0; i < sizeof ratios / sizeof ratios[0]; i++) {
        struct model_clock clock = {0};
        model_clock_start(&clock, 12345, ratios[i].fx, ratios[i].fy);
        uint64_t due_us = model_clock_when(&clock, &time);
        assert_true(model_clock_is_past(&clock, due_us, &time));
        assert_false(model_clock_is_past(&clock, due_us - 1, &time));
    }
}

static void next_minute_is_ahead_and_whole(void **state) {
    (void)state;
    struct model_clock clock = {0};
    model_clock_start(&clock, 0, 4, 1);
    model_clock_set(&clock, 100 * second_us, &(struct model_time){.hour = 9, .second = 20});
    uint64_t due_us = model_clock_next_minute(&clock, 100 * second_us);
    assert_int_equal(due_us, 110 * second_us);
    check_reads(&clock, due_us, 0, 9, 1, 0);
    assert_int_equal(model_clock_next_minute(&clock, due_us), 125 * second_us);
}

static void farthest_time_is_never_but_not_an_overflow(void **state) {
    (void)state;
    struct model_clock clock = {0};
    struct model_time last = {.day = SRCP_DAY_MAX, .hour = 23, .minute = 59, .second = 59};
    model_clock_start(&clock, 1800000000 * second_us, 1, SRCP_TIME_RATE_MAX);
    assert_true(model_clock_when(&clock, &last) == MODEL_CLOCK_NEVER);
    model_clock_set(&clock, 1800000000 * second_us, &last);
    check_reads(&clock, 1800000000 * second_us, SRCP_DAY_MAX, 23, 59, 59);
}

/* It follows another that is stopped, or runs backwards. */
static void a_clock_that_stands_reaches_nothing(void **state) {
    (void)state;
    struct model_clock standing = {.is_running = false};
    const struct model_time noon = {1, 12, 0, 0};
    model_clock_follow(&standing, 5000000, (86400 + 8 * 3600) * UINT64_C(1000000), 0, 1);
    struct model_time time = model_clock_read(&standing, 90000000);
    assert_int_equal(time.day, 1);
    assert_int_equal(time.hour, 8);
    assert_int_equal(time.minute + time.second, 0);
    assert_true(model_clock_when(&standing, &noon) == MODEL_CLOCK_NEVER);
    assert_true(model_clock_next_minute(&standing, 90000000) == MODEL_CLOCK_NEVER);
    assert_false(model_clock_is_past(&standing, 90000000, &noon));
    const struct model_time seven = {1, 7, 0, 0};
    assert_true(model_clock_is_past(&standing, 90000000, &seven));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_clock_that_stands_reaches_nothing),
        cmocka_unit_test(clock_runs_by_its_ratio),
        cmocka_unit_test(changed_ratio_keeps_the_time),
        cmocka_unit_test(time_is_reached_when_said_and_not_before),
        cmocka_unit_test(next_minute_is_ahead_and_whole),
        cmocka_unit_test(farthest_time_is_never_but_not_an_overflow),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
