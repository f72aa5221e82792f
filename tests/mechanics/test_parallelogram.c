#include "mechanics/number.h"
#include "mechanics/parallelogram.h"
#include "support/bad_numbers.h"
#include "support/check.h"
#include "support/examples.h"

#include <math.h>

static const struct parallelogram good = {
    .leaf_kg = 36,
    .leaf = {1.15, 0.12},
    .link_kg = 2.5,
    .link_pin = {-0.02, 0.7},
    .counterweight_kg = 80,
    .counterweight = {-0.516875, -0.075875}, /* B2 */
    .tower = {-0.9, -0.2},
};

static struct point point_in(struct example *example, const char *name) {
    double xy[2];
    assert_int_equal(example_in_list(example, name, xy, 2), 2);
    return (struct point){xy[0], xy[1]};
}

static void balanced_at_every_angle(struct example *example) {
    struct parallelogram bridge = {.leaf_kg = example_in(example, "m_leaf"),
                                   .leaf = point_in(example, "r_leaf"),
                                   .link_kg = example_in(example, "m_link"),
                                   .link_pin = point_in(example, "r_link_pin"),
                                   .counterweight_kg = example_in(example, "m_cw")};
    bridge.counterweight = parallelogram_balance_point(&bridge);
    example_out_list(example, "r_cw_about_cw_trunnion",
                     (double[]){bridge.counterweight.x_m, bridge.counterweight.y_m}, 2);
    example_out(example, "radius", point_radius_m(bridge.counterweight));
    struct balance even, heavy;
    assert_null(parallelogram_balance(&bridge, &even));
    bridge.counterweight_kg = 79;
    assert_null(parallelogram_balance(&bridge, &heavy));
    double theta[5], moment[5];
    size_t count = example_in_list(example, "theta", theta, 5);
    for (size_t i = 0; i < count; i++) {
        assert_true(fabs(balance_moment(&even, theta[i])) < 1e-11);
        moment[i] = balance_moment(&heavy, theta[i]);
    }
    example_out_list(example, "M_if_m_cw_79", moment, count);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"B2", balanced_at_every_angle}};
    examples_run("parallelogram", tests, 1);
}

static void link_without_mass_is_left_out(void **state) {
    (void)state;
    struct parallelogram bridge = good;
    bridge.link_kg = 0;
    struct balance balance;
    assert_null(parallelogram_balance(&bridge, &balance));
    assert_true(balance.mass_kg == 116);
}

static const char *check(const void *what) {
    return parallelogram_check(what, 1.2);
}

static void bad_numbers_are_refused(void **state) {
    (void)state;
    struct parallelogram bridge = good;
    bad_numbers_refused(&bridge.leaf_kg, NOT_ABOVE_ZERO, check, &bridge);
    bad_numbers_refused(&bridge.link_kg, NEGATIVE, check, &bridge);
    bad_numbers_refused(&bridge.counterweight_kg, NOT_ABOVE_ZERO, check, &bridge);
    bad_numbers_refused(&bridge.leaf.x_m, NOT_FINITE, check, &bridge);
    bad_numbers_refused(&bridge.link_pin.y_m, NOT_FINITE, check, &bridge);
    bad_numbers_refused(&bridge.counterweight.x_m, NOT_FINITE, check, &bridge);
    bad_numbers_refused(&bridge.tower.y_m, NOT_FINITE, check, &bridge);
    bridge.tower = (struct point){0, 0};
    bad_numbers_said(check(&bridge), "away from");
    bad_numbers_said(parallelogram_check(&good, NAN), "travel");
    bad_numbers_said(parallelogram_check(&good, NUMBER_PI), "travel");
}

/* The tower's trunnion is seen at 123.690 degrees from the leaf's. */
static void flipping_is_refused(void **state) {
    (void)state;
    struct parallelogram bridge = good;
    bridge.tower = (struct point){-0.6, 0.9};
    bridge.link_pin = (struct point){0.7, -0.02}; /* at -1.637: 125.3 degrees to go */
    assert_null(parallelogram_check(&bridge, 125 * NUMBER_PI / 180));
    bad_numbers_said(parallelogram_check(&bridge, 126 * NUMBER_PI / 180), "flip");
    bridge.tower = (struct point){0.6, -0.9}; /* the other way round on the same line */
    bad_numbers_said(parallelogram_check(&bridge, 126 * NUMBER_PI / 180), "flip");
    assert_null(parallelogram_check(&bridge, 125 * NUMBER_PI / 180));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(link_without_mass_is_left_out),
        cmocka_unit_test(bad_numbers_are_refused),
        cmocka_unit_test(flipping_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
