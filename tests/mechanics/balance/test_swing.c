#include "mechanics/balance/swing.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

static struct balance balance_in(struct example *example) {
    static const char *const names[] = {"item_long", "item_short", "item_weight"};
    struct balance_item items[3];
    struct balance balance;
    for (int i = 0; i < 3; i++) {
        double n[3];
        assert_int_equal(example_in_list(example, names[i], n, 3), 3);
        items[i] = (struct balance_item){.mass_kg = n[0], .at = {n[1], n[2]}};
    }
    assert_null(balance_of_items(LIFT_SWING, 0, items, 3, &balance));
    return balance;
}

static void tipping(struct example *example) {
    struct balance balance = balance_in(example);
    double radius[2], wheels[2], held[2], load[2];
    struct swing swing;
    example_in_list(example, "wheels_radius", radius, 2);
    example_in_list(example, "wheels", wheels, 2);
    struct swing_stand stand = {
        .bearing_m = example_in(example, "bearing"), .toe_m = NAN, .heel_m = NAN};
    for (int i = 0; i < 2; i++) {
        stand.wheels_m = radius[i];
        stand.wheels = (unsigned)wheels[i];
        assert_null(swing_check(&stand));
        swing = swing_of(&balance, &stand);
        held[i] = swing.held_m;
        load[i] = swing.wheel_n;
    }
    example_out(example, "offset", swing.offset_m);
    example_out(example, "tipping", swing.tipping_n_m);
    example_out_list(example, "held", held, 2);
    example_out_list(example, "wheel_load", load, 2);
    assert_true(isnan(swing.toe_n) && isnan(swing.pivot_n));
}

static void ends(struct example *example) {
    struct balance balance = balance_in(example);
    double wedge[2], toe[2], heel[2], pivot[2];
    example_in_list(example, "wedge", wedge, 2);
    struct swing_stand stand = {.toe_m = example_in(example, "toe"),
                                .heel_m = example_in(example, "heel")};
    for (int i = 0; i < 2; i++) {
        stand.wedge_n = wedge[i];
        struct swing swing = swing_of(&balance, &stand);
        toe[i] = swing.toe_n;
        heel[i] = swing.heel_n;
        pivot[i] = swing.pivot_n;
    }
    example_out_list(example, "toe_load", toe, 2);
    example_out_list(example, "heel_load", heel, 2);
    example_out_list(example, "pivot_load", pivot, 2);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"SW1", tipping}, {"SW2", ends}};
    examples_run("swing", tests, 2);
}

/* Turned round, the ends change places and nothing else changes. */
static void either_end_may_be_the_heavier(void **state) {
    (void)state;
    struct balance balance = {.kind = LIFT_SWING, .mass_kg = 10, .sx_kg_m = 0.5};
    struct swing_stand stand = {.toe_m = 1.2, .heel_m = 0.7, .wedge_n = 3};
    struct swing one = swing_of(&balance, &stand);
    balance.sx_kg_m = -0.5;
    stand.toe_m = 0.7;
    stand.heel_m = 1.2;
    struct swing other = swing_of(&balance, &stand);
    assert_true(one.toe_n == other.heel_n && one.heel_n == other.toe_n);
    assert_true(fabs(one.pivot_n - other.pivot_n) < 1e-12);
}

static void a_wide_bearing_needs_no_wheels(void **state) {
    (void)state;
    struct balance balance = {.kind = LIFT_SWING, .mass_kg = 10, .sx_kg_m = 0.5};
    struct swing swing = swing_of(&balance, &(struct swing_stand){.bearing_m = 0.1, .toe_m = NAN});
    assert_true(swing.held_m == 0.1 && isnan(swing.wheel_n));
}

static const char *check(const void *what) {
    return swing_check(what);
}

static void bad_numbers_are_refused(void **state) {
    (void)state;
    struct swing_stand stand = {0.01, 0.1, 4, 1, 1, 0};
    bad_numbers_refused(&stand.bearing_m, NEGATIVE, check, &stand);
    bad_numbers_refused(&stand.wheels_m, NEGATIVE, check, &stand);
    bad_numbers_refused(&stand.wedge_n, NEGATIVE, check, &stand);
    stand.wheels = 2;
    bad_numbers_said(check(&stand), "fewer than three");
    stand.wheels = 3;
    stand.toe_m = 0;
    bad_numbers_said(check(&stand), "away from the pivot");
    stand.toe_m = NAN;
    assert_null(check(&stand));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(either_end_may_be_the_heavier),
        cmocka_unit_test(a_wide_bearing_needs_no_wheels),
        cmocka_unit_test(bad_numbers_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
