#include "io/wired/reading.h"
#include "support/check.h"

#include <math.h>

static const struct reading_limits limits = {
    .least = -0.1, .most = 1.1, .jump_per_s = 1, .frozen_us = 500000};

static void believes_what_is_within_range(void **state) {
    (void)state;
    struct reading reading = {0};
    assert_true(reading_judge(&reading, &limits, -0.1, false, 0) == -0.1);
    reading = (struct reading){0};
    assert_true(reading_judge(&reading, &limits, 1.1, false, 0) == 1.1);
}

static void out_of_range_is_no_reading(void **state) {
    (void)state;
    const double values[] = {-0.11, 1.11, NAN, INFINITY, -INFINITY};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        struct reading reading = {0};
        assert_true(isnan(reading_judge(&reading, &limits, values[i], false, 0)));
    }
}

static void jump_is_no_reading(void **state) {
    (void)state;
    struct reading reading = {0};
    assert_true(reading_judge(&reading, &limits, 0.2, false, 0) == 0.2);
    assert_true(reading_judge(&reading, &limits, 0.21, false, 10000) == 0.21);
    assert_true(isnan(reading_judge(&reading, &limits, 0.25, false, 20000)));
    assert_true(reading_judge(&reading, &limits, 0.25, false, 30000) == 0.25);
    assert_true(isnan(reading_judge(&reading, &limits, 0.15, false, 40000))); /* downward too */
}

static void first_reading_after_a_lost_one_is_no_jump(void **state) {
    (void)state;
    struct reading reading = {0};
    reading_judge(&reading, &limits, 0.2, false, 0);
    reading_judge(&reading, &limits, NAN, false, 10000);
    assert_true(reading_judge(&reading, &limits, 0.9, false, 20000) == 0.9);
}

static void frozen_while_driven_is_no_reading(void **state) {
    (void)state;
    struct reading reading = {0};
    assert_true(reading_judge(&reading, &limits, 0.2, true, 0) == 0.2);
    assert_true(reading_judge(&reading, &limits, 0.2, true, 499999) == 0.2);
    assert_true(isnan(reading_judge(&reading, &limits, 0.2, true, 500000)));
    assert_true(reading_judge(&reading, &limits, 0.2001, true, 510000) == 0.2001);
}

static void still_at_rest_is_not_frozen(void **state) {
    (void)state;
    struct reading reading = {0};
    reading_judge(&reading, &limits, 0.2, false, 0);
    assert_true(reading_judge(&reading, &limits, 0.2, false, 5000000) == 0.2);
    assert_true(reading_judge(&reading, &limits, 0.2, true, 5400000) == 0.2); /* driven just now */
    assert_true(isnan(reading_judge(&reading, &limits, 0.2, true, 5500000)));
}

static void limits_of_zero_watch_nothing(void **state) {
    (void)state;
    const struct reading_limits none = {.least = -1, .most = 2};
    struct reading reading = {0};
    reading_judge(&reading, &none, 0, true, 0);
    assert_true(reading_judge(&reading, &none, 1, true, 1) == 1);
    assert_true(reading_judge(&reading, &none, 1, true, 90000000) == 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(believes_what_is_within_range),
        cmocka_unit_test(out_of_range_is_no_reading),
        cmocka_unit_test(jump_is_no_reading),
        cmocka_unit_test(first_reading_after_a_lost_one_is_no_jump),
        cmocka_unit_test(frozen_while_driven_is_no_reading),
        cmocka_unit_test(still_at_rest_is_not_frozen),
        cmocka_unit_test(limits_of_zero_watch_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
