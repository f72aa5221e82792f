/* How far a margin may be off, from its inputs one by one. */
#include "mechanics/doubt.h"
#include "support/check.h"

#include <math.h>

static void assert_near(double found, double wanted) {
    if (!(fabs(found - wanted) <= 1e-12)) {
        fail_msg("found %.9g, wanted %.9g", found, wanted);
    }
}

/* 3-4-5 on one side, 5-12-13 on the other. */
static void each_side_is_the_root_of_its_squares(void **state) {
    (void)state;
    struct doubt doubt = {.cause = 0};
    doubt_add(&doubt, 10, 7, 15, 1);
    doubt_add(&doubt, 10, 22, 6, 2);
    assert_near(doubt.less, 5);
    assert_near(doubt.more, 13);
    assert_near(doubt_wider(&doubt), 13);
    assert_near(doubt_towards(&doubt, 10), 5);
    assert_near(doubt_towards(&doubt, -10), 13);
}

/* The tipping span: its centre comes off the pivot whichever way its weight is moved. */
static void what_bends_one_way_is_not_taken_as_nothing(void **state) {
    (void)state;
    struct doubt doubt = {.cause = 0};
    doubt_add(&doubt, 7, -2, 1, 3);
    assert_near(doubt.less, 9);
    assert_near(doubt.more, 0);
    assert_true(doubt_reaches(&doubt, 7));
    assert_int_equal(doubt.cause, 3);
}

static void a_way_that_cannot_be_is_taken_as_the_other(void **state) {
    (void)state;
    struct doubt low = {.cause = 0}, none = {.cause = 0};
    doubt_add(&low, 10, NAN, 12, 1);
    assert_near(low.less, 2);
    assert_near(low.more, 2);
    doubt_add(&none, 10, NAN, NAN, 1);
    assert_near(doubt_wider(&none), 0);
    assert_int_equal(none.cause, 0);
}

/* The second adds more to the margin; only the first can make it bad. */
static void the_cause_is_of_the_side_that_could_change_the_verdict(void **state) {
    (void)state;
    struct doubt good = {.cause = 0}, bad = {.cause = 0}, other = {.cause = 0};
    doubt_add(&good, 10, 6, 11, 1);
    doubt_add(&good, 10, 9, 30, 2);
    assert_int_equal(good.cause, 1);
    doubt_add(&bad, -10, -14, -9, 1);
    doubt_add(&bad, -10, -11, 10, 2);
    assert_int_equal(bad.cause, 2);
    doubt_add(&other, 10, 11, 12, 5);
    assert_int_equal(other.cause, 5);
    doubt_add(&other, 10, 9.5, 10, 6);
    assert_int_equal(other.cause, 6);
}

static void a_side_without_end_reaches_any_finite_margin(void **state) {
    (void)state;
    struct doubt doubt = {.cause = 0};
    doubt_add(&doubt, 5, -INFINITY, 6, 1);
    assert_true(doubt_reaches(&doubt, 5));
    assert_true(doubt_reaches(&doubt, 1e9));
    assert_near(doubt_wider(&doubt), 1);
    struct doubt endless = {.cause = 0};
    doubt_add(&endless, INFINITY, INFINITY, INFINITY, 1);
    assert_int_equal(endless.cause, 0);
    assert_false(doubt_reaches(&endless, INFINITY));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_side_is_the_root_of_its_squares),
        cmocka_unit_test(what_bends_one_way_is_not_taken_as_nothing),
        cmocka_unit_test(a_way_that_cannot_be_is_taken_as_the_other),
        cmocka_unit_test(the_cause_is_of_the_side_that_could_change_the_verdict),
        cmocka_unit_test(a_side_without_end_reaches_any_finite_margin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
