#include "mechanics/balance/balance.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

static struct balance_item item_in(struct example *example, const char *name) {
    double number[3];
    assert_int_equal(example_in_list(example, name, number, 3), 3);
    return (struct balance_item){.mass_kg = number[0], .at = {number[1], number[2]}};
}

static void moments(struct example *example) {
    static const char *const names[] = {"item_deck", "item_trusses", "item_toe", "item_heel",
                                        "item_cw"};
    struct balance_item items[5];
    for (size_t i = 0; i < 5; i++) {
        items[i] = item_in(example, names[i]);
    }
    struct balance balance, leaf_only;
    assert_null(balance_of_items(LIFT_SECTOR, 0, items, 5, &balance));
    assert_null(balance_of_items(LIFT_SECTOR, 0, items, 4, &leaf_only));
    assert_true(example_in(example, "g") == NUMBER_GRAVITY_M_S2);
    double theta[5], moment[5];
    size_t count = example_in_list(example, "theta", theta, 5);
    for (size_t i = 0; i < count; i++) {
        moment[i] = balance_moment(&balance, theta[i]);
    }
    struct balance_resultant resultant = balance_resultant(&balance);
    example_out(example, "mass", balance.mass_kg);
    example_out(example, "Sx", balance.sx_kg_m);
    example_out(example, "Sy", balance.sy_kg_m);
    example_out(example, "W", resultant.weight_n);
    example_out(example, "L", resultant.radius_m);
    example_out(example, "alpha", resultant.angle_rad);
    example_out(example, "theta_zero", resultant.even_rad);
    example_out_list(example, "M", moment, count);
    example_out(example, "toe_reaction_total",
                balance_toe_reaction_n(&balance, example_in(example, "x_toe_bearing")));
    example_out(example, "M_as_pct_of_leaf_only_moment_at_0",
                balance_moment(&balance, 0) / balance_moment(&leaf_only, 0));
}

static void inertia(struct example *example) {
    double number[25];
    size_t count = example_in_list(example, "rect_m_x_y_len_hgt", number, 25) / 5;
    struct balance_item items[5];
    for (size_t i = 0; i < count; i++) {
        const double *n = &number[5 * i];
        items[i] = (struct balance_item){n[0], {n[1], n[2]}, n[3], n[4]};
    }
    struct balance balance;
    assert_null(balance_of_items(LIFT_STRUT, 0, items, count, &balance));
    double alpha = example_in(example, "accelerate_to") / example_in(example, "in_time");
    example_out(example, "I_trunnion", balance_inertia(&balance, 0.5));
    example_out(example, "alpha", alpha);
    example_out(example, "T_inertia", balance_inertia(&balance, 0.5) * alpha);
}

static void rod(struct example *example) {
    double m = example_in(example, "m"), length = example_in(example, "L");
    example_out(example, "I_centre", balance_rectangle_inertia(m, length, 0, 0));
    example_out(example, "I_end", balance_rectangle_inertia(m, length, 0, length / 2));
    example_out(example, "I_L_over_3", balance_rectangle_inertia(m, length, 0, length / 3));
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"B1", moments}, {"B5", inertia}, {"I1", rod}};
    examples_run("balance", tests, 3);
}

static const struct balance_item leaf[] = {{14, {1.2, 0.02}, 2.4, 0.04},
                                           {58, {-0.3, 0.27}, 0.24, 0.4}};

static struct balance balance_of(enum lift_kind kind, double roll_radius_m) {
    struct balance balance;
    assert_null(balance_of_items(kind, roll_radius_m, leaf, 2, &balance));
    return balance;
}

/* Energy: M is the slope of g (sum m Y), with Y above the track. */
static void moment_is_slope_of_energy_when_rolling(void **state) {
    (void)state;
    struct balance balance = balance_of(LIFT_ROLLING, 0.4);
    struct lift_rolling rolling = {.radius_m = 0.4};
    for (double t = 0; t < 1.4; t += 0.2) {
        double slope = 0, small = 1e-5;
        for (size_t i = 0; i < 2; i++) {
            slope += leaf[i].mass_kg * NUMBER_GRAVITY_M_S2 / (2 * small) *
                     (lift_rolling_point(&rolling, leaf[i].at, t + small).y_m -
                      lift_rolling_point(&rolling, leaf[i].at, t - small).y_m);
        }
        assert_true(fabs(balance_moment(&balance, t) - slope) < 1e-6);
    }
}

/* Twice the kinetic energy at one radian a second, from the speeds of four points that stand for
 * each rectangle (at +-1/sqrt(12) of its sides they have its inertia). */
static void inertia_is_that_of_the_motion_when_rolling(void **state) {
    (void)state;
    struct balance balance = balance_of(LIFT_ROLLING, 0.4);
    struct lift_rolling rolling = {.radius_m = 0.4};
    for (double t = 0; t < 1.4; t += 0.2) {
        double sum = 0, small = 1e-5;
        for (size_t i = 0; i < 8; i++) {
            const struct balance_item *item = &leaf[i / 4];
            struct point at = {item->at.x_m + item->length_m / sqrt(12) * (i & 1 ? 1 : -1),
                               item->at.y_m + item->height_m / sqrt(12) * (i & 2 ? 1 : -1)};
            struct point moved = point_difference(lift_rolling_point(&rolling, at, t + small),
                                                  lift_rolling_point(&rolling, at, t - small));
            double speed = point_radius_m(moved) / (2 * small);
            sum += item->mass_kg / 4 * speed * speed;
        }
        assert_true(fabs(balance_inertia(&balance, t) - sum) < 1e-6 * sum);
    }
}

static void swing_span_has_no_gravity_moment(void **state) {
    (void)state;
    struct balance balance = balance_of(LIFT_SWING, 0);
    assert_true(balance_moment(&balance, 0.7) == 0);
    assert_true(balance_inertia(&balance, 0.7) == balance_of(LIFT_SECTOR, 0).inertia_kg_m2);
}

static void vertical_lift_carries_all_its_mass(void **state) {
    (void)state;
    struct balance_ropes ropes = {30, 29, 0.1, 4, 1.2, 0.4};
    struct balance balance;
    assert_null(balance_of_ropes(&ropes, &balance));
    assert_true(fabs(balance_inertia(&balance, 0.3) - (30 + 29 + 4 * 0.1 * 1.6)) < 1e-12);
    ropes.rope_kg_m = 0;
    assert_true(isnan(balance_ropes_even_m(&ropes)));
}

static const char *check_item(const void *what) {
    struct balance unused;
    return balance_of_items(LIFT_SECTOR, 0, what, 1, &unused);
}

static const char *check_ropes(const void *what) {
    struct balance unused;
    return balance_of_ropes(what, &unused);
}

static const char *check(const void *what) {
    return balance_check(what);
}

static void bad_numbers_are_refused(void **state) {
    (void)state;
    struct balance_item item = leaf[0];
    bad_numbers_refused(&item.mass_kg, NOT_ABOVE_ZERO, check_item, &item);
    bad_numbers_refused(&item.at.x_m, NOT_FINITE, check_item, &item);
    bad_numbers_refused(&item.at.y_m, NOT_FINITE, check_item, &item);
    bad_numbers_refused(&item.length_m, NEGATIVE, check_item, &item);
    bad_numbers_refused(&item.height_m, NEGATIVE, check_item, &item);
    struct balance_ropes ropes = {30, 29, 0.1, 4, 1.2, 0.4};
    bad_numbers_refused(&ropes.span_kg, NOT_ABOVE_ZERO, check_ropes, &ropes);
    bad_numbers_refused(&ropes.counterweight_kg, NEGATIVE, check_ropes, &ropes);
    bad_numbers_refused(&ropes.rope_kg_m, NEGATIVE, check_ropes, &ropes);
    bad_numbers_refused(&ropes.span_side_m, NEGATIVE, check_ropes, &ropes);
    bad_numbers_refused(&ropes.counterweight_side_m, NEGATIVE, check_ropes, &ropes);
    struct balance balance = balance_of(LIFT_ROLLING, 0.4);
    bad_numbers_refused(&balance.mass_kg, NOT_ABOVE_ZERO, check, &balance);
    bad_numbers_refused(&balance.sx_kg_m, NOT_FINITE, check, &balance);
    bad_numbers_refused(&balance.sy_kg_m, NOT_FINITE, check, &balance);
    bad_numbers_refused(&balance.inertia_kg_m2, NOT_ABOVE_ZERO, check, &balance);
    bad_numbers_refused(&balance.roll_radius_m, NOT_ABOVE_ZERO, check, &balance);
}

static void bad_leaves_change_nothing(void **state) {
    (void)state;
    struct balance balance = {.mass_kg = 42};
    struct balance_item items[] = {leaf[0], {.mass_kg = -1}};
    bad_numbers_said(balance_of_items(LIFT_VERTICAL, 0, leaf, 2, &balance), "ropes");
    bad_numbers_said(balance_of_items(LIFT_SECTOR, 0, leaf, 0, &balance), "mass");
    bad_numbers_said(balance_of_items(LIFT_SECTOR, 0, items, 2, &balance), "mass");
    bad_numbers_said(balance_of_items(LIFT_ROLLING, 0, leaf, 2, &balance), "segment");
    assert_true(balance.mass_kg == 42);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(moment_is_slope_of_energy_when_rolling),
        cmocka_unit_test(inertia_is_that_of_the_motion_when_rolling),
        cmocka_unit_test(swing_span_has_no_gravity_moment),
        cmocka_unit_test(vertical_lift_carries_all_its_mass),
        cmocka_unit_test(bad_numbers_are_refused),
        cmocka_unit_test(bad_leaves_change_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
