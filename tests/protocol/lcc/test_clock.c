/* A clock by its events: Broadcast Time S, 25 Apr 2021. */
#include "protocol/lcc/clock.h"
#include "support/check.h"

#define FAST UINT64_C(0x0101000001000000)

static const uint64_t minute = 60000000;
static struct lcc_clock layout;

static int set_up(void **state) {
    (void)state;
    lcc_clock_init(&layout, FAST | 0x1234);
    return 0;
}

static bool take(unsigned low, uint64_t now_us) {
    return lcc_clock_take(&layout, FAST | low, now_us);
}

/* The time of day in whole minutes. */
static int64_t at(uint64_t now_us) {
    return lcc_clock_time_us(&layout, now_us) / (int64_t)minute;
}

static void a_report_sets_it_and_it_goes_on(void **state) {
    (void)state;
    assert_false(layout.is_known);
    assert_true(take(0x080A, 1000)); /* 8:10, example 28 of the digest of the standards */
    assert_true(layout.is_known);
    assert_int_equal(at(1000), 8 * 60 + 10);
    assert_int_equal(at(1000 + 5 * minute), 8 * 60 + 15);
}

/* 004 is 1, 010 is 4 times; FFC is -1. */
static void the_rate_is_in_quarters_with_a_sign(void **state) {
    (void)state;
    take(0x080A, 0);
    assert_true(take(0x4010, 0));
    assert_int_equal(at(5 * minute), 8 * 60 + 30);
    assert_true(take(0x4002, 5 * minute)); /* what has passed stays */
    assert_int_equal(at(15 * minute), 8 * 60 + 35);
    assert_true(take(0x4FFC, 15 * minute));
    assert_int_equal(lcc_clock_rate(&layout), -4);
    assert_int_equal(at(20 * minute), 8 * 60 + 30);
    assert_true(take(0x4000, 20 * minute));
    assert_int_equal(at(50 * minute), 8 * 60 + 30);
    take(0x4800, 0);
    assert_int_equal(lcc_clock_rate(&layout), -2048);
    take(0x47FF, 0);
    assert_int_equal(lcc_clock_rate(&layout), 2047);
}

static void it_stands_while_it_is_stopped(void **state) {
    (void)state;
    take(0x080A, 0);
    assert_true(take(0xF001, 5 * minute));
    assert_int_equal(lcc_clock_rate(&layout), 0);
    assert_int_equal(at(500 * minute), 8 * 60 + 15);
    assert_true(take(0xF002, 500 * minute));
    assert_int_equal(at(505 * minute), 8 * 60 + 20);
}

static void days_are_counted_by_midnights(void **state) {
    (void)state;
    take(0x173A, 0); /* 23:58 */
    assert_int_equal(layout.day, 0);
    take(0x0000, 2 * minute); /* its own midnight was just there: the same */
    assert_int_equal(layout.day, 1);
    take(0x1739, 3 * minute); /* a step back over it */
    assert_int_equal(layout.day, 0);
    take(0x0001, 3 * minute); /* a jump over it */
    assert_int_equal(layout.day, 1);
    take(0x0B00, 3 * minute); /* within the day, either way */
    take(0x0200, 3 * minute);
    assert_int_equal(layout.day, 1);
    take(0x4FFC, 3 * minute); /* backwards, three days long: not before the first */
    take(0xF002, (3 + 3 * 1440) * minute);
    assert_int_equal(layout.day, 0);
}

static void what_is_not_told_of_the_time_changes_nothing(void **state) {
    (void)state;
    static const unsigned lows[] = {0x1800, 0x083C, 0x880A, 0x2101, 0xA101, 0x37E9,
                                    0xB7E9, 0xC004, 0xF000, 0xF003, 0xFFFF};
    for (size_t i = 0; i < sizeof lows / sizeof lows[0]; i++) {
        assert_false(take(lows[i], 1000));
    }
    assert_false(lcc_clock_take(&layout, FAST + 0x10000 + 0x080A, 1000)); /* the real-time clock */
    assert_false(layout.is_known);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(a_report_sets_it_and_it_goes_on, set_up),
        cmocka_unit_test_setup(the_rate_is_in_quarters_with_a_sign, set_up),
        cmocka_unit_test_setup(it_stands_while_it_is_stopped, set_up),
        cmocka_unit_test_setup(days_are_counted_by_midnights, set_up),
        cmocka_unit_test_setup(what_is_not_told_of_the_time_changes_nothing, set_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
