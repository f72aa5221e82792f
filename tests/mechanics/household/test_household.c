/* Values from a scale, a meter and a stopwatch. */
#include "mechanics/household/creep.h"
#include "mechanics/household/leaf_weighed.h"
#include "mechanics/household/motor_bench.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

static void leaf(struct example *example) {
    const struct leaf_weighed_given given = {.toe_m = example_in(example, "toe"),
                                             .level_n = example_in(example, "level"),
                                             .raised_n = example_in(example, "raised"),
                                             .raised_rad = example_in(example, "angle"),
                                             .mass_kg = NAN,
                                             .axis_n = example_in(example, "axis"),
                                             .middle_m = NAN};
    struct leaf_weighed found;
    assert_null(leaf_weighed_of(&given, &found));
    example_out(example, "mass", found.mass_kg);
    example_out(example, "x", found.x_m);
    example_out(example, "y", found.y_m);
}

static void motor(struct example *example) {
    double volts[2], amps[2], speed[2];
    struct motor_bench_run free[2], held[2];
    assert_int_equal(example_in_list(example, "free_n", speed, 2), 2);
    assert_int_equal(example_in_list(example, "free_V", volts, 2), 2);
    assert_int_equal(example_in_list(example, "free_I", amps, 2), 2);
    for (int i = 0; i < 2; i++) {
        free[i] = (struct motor_bench_run){volts[i], amps[i], speed[i]};
    }
    assert_int_equal(example_in_list(example, "held_V", volts, 2), 2);
    assert_int_equal(example_in_list(example, "held_I", amps, 2), 2);
    for (int i = 0; i < 2; i++) {
        held[i] = (struct motor_bench_run){volts[i], amps[i], 0};
    }
    struct motor_bench found;
    assert_null(motor_bench_of(free, 2, held, 2, &found));
    assert_true(found.differ < 1e-4);
    struct motor_sheet sheet = motor_bench_sheet(&found, example_in(example, "at"));
    example_out(example, "R", found.resistance_ohm);
    example_out(example, "Vb", found.brush_v);
    example_out(example, "Ke", found.ke_v_s_rad);
    example_out(example, "n0", sheet.no_load_rad_s);
    example_out(example, "stall_T", sheet.stall_n_m);
    example_out(example, "stall_I", sheet.stall_a);
}

static void creeping(struct example *example) {
    const struct chain chain = {
        .lift = {.kind = LIFT_SECTOR, .travel = 1, .rack_radius_m = example_in(example, "arm")},
        .drive = {.pinion_radius_m = example_in(example, "r"),
                  .planetary_ratio = example_in(example, "ratio"),
                  .planetary_efficiency = example_in(example, "eta_gearbox"),
                  .rack_efficiency = example_in(example, "eta_rack")},
        .motor = {.resistance_ohm = example_in(example, "R"),
                  .kt_n_m_a = example_in(example, "Kt"),
                  .no_load_a = example_in(example, "I0")}};
    double up_a = creep_current_a(&chain.motor, example_in(example, "up"));
    double down_a = creep_current_a(&chain.motor, example_in(example, "down"));
    struct creep found;
    assert_null(creep_of(&chain, 0, up_a, down_a, 0, &found));
    example_out(example, "friction", found.friction);
    example_out(example, "imbalance", found.imbalance);
    bad_numbers_said(creep_of(&chain, 0, up_a, 0.5, 0, &found), "both ways");
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"M1", leaf}, {"M2", motor}, {"M3", creeping}};
    examples_run("household", tests, 3);
}

static const struct leaf_weighed_given toe_only = {2, 50, NAN, NAN, NAN, NAN, NAN};

/* One reading is a moment: a mass needs one thing more, the height a second reading. */
static void what_one_reading_does_not_tell_is_not_known(void **state) {
    (void)state;
    struct leaf_weighed_given given = toe_only;
    struct leaf_weighed found;
    assert_null(leaf_weighed_of(&given, &found));
    assert_true(fabs(found.sx_kg_m - 100 / 9.80665) < 1e-12 && isnan(found.mass_kg));
    given.middle_m = 1;
    assert_null(leaf_weighed_of(&given, &found));
    assert_true(fabs(found.mass_kg - 100 / 9.80665) < 1e-12 && isnan(found.y_m));
    given.mass_kg = 20;
    assert_null(leaf_weighed_of(&given, &found));
    assert_true(fabs(found.x_m - 5 / 9.80665) < 1e-12);
}

static void bad_readings_of_a_leaf_are_refused(void **state) {
    (void)state;
    struct leaf_weighed_given given = toe_only;
    struct leaf_weighed found;
    given.raised_n = 40;
    bad_numbers_said(leaf_weighed_of(&given, &found), "needs its angle");
    given.raised_rad = 0.1;
    bad_numbers_said(leaf_weighed_of(&given, &found), "10 to less than 90");
    given = toe_only;
    given.toe_m = 0;
    bad_numbers_said(leaf_weighed_of(&given, &found), "toe's distance");
    given = toe_only;
    given.axis_n = -60;
    bad_numbers_said(leaf_weighed_of(&given, &found), "below zero");
}

/* With one run held fast, the brushes' drop counts as resistance: 1.8 V by 2.9 A. */
static void one_run_held_fast_is_enough(void **state) {
    (void)state;
    const struct motor_bench_run free = {6, 0.62, 712.7}, held = {1.8, 2.9, 0};
    struct motor_bench found;
    assert_null(motor_bench_of(&free, 1, &held, 1, &found));
    assert_true(fabs(found.resistance_ohm - 1.8 / 2.9) < 1e-12 && found.brush_v == 0);
    assert_true(isnan(found.differ));
}

static void runs_that_contradict_each_other_are_seen(void **state) {
    (void)state;
    const struct motor_bench_run free[] = {{4, 0.6, 400}, {6, 0.6, 800}};
    const struct motor_bench_run held[] = {{0.9, 1.05, 0}, {1.8, 2.9, 0}},
                                 same[] = {held[0], held[0]};
    struct motor_bench found;
    assert_null(motor_bench_of(free, 2, held, 2, &found));
    assert_true(found.differ > 0.2);
    bad_numbers_said(motor_bench_of(free, 2, same, 2, &found), "must draw more");
    bad_numbers_said(motor_bench_of(free, 0, held, 2, &found), "needed");
    bad_numbers_said(motor_bench_of(held, 1, held, 2, &found), "must turn");
    bad_numbers_said(motor_bench_of(free, 1, &(struct motor_bench_run){0, 1, 0}, 1, &found),
                     "above zero");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(what_one_reading_does_not_tell_is_not_known),
        cmocka_unit_test(bad_readings_of_a_leaf_are_refused),
        cmocka_unit_test(one_run_held_fast_is_enough),
        cmocka_unit_test(runs_that_contradict_each_other_are_seen),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
