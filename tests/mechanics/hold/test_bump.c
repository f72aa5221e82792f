#include "mechanics/hold/bump.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"
#include "support/mechanics/sizing_example.h"

#include <math.h>

static struct chain chain_in(struct example *example) {
    struct chain chain = {.lift = {.kind = LIFT_SECTOR,
                                   .travel = example_in(example, "theta"),
                                   .rack_radius_m = 0.3}};
    double leaf[3];
    assert_int_equal(example_in_list(example, "leaf", leaf, 3), 3);
    const struct balance_item item = {.mass_kg = leaf[0], .at = {leaf[1], leaf[2]}};
    assert_null(balance_of_items(LIFT_SECTOR, 0, &item, 1, &chain.balance));
    return chain;
}

static void along_track(struct example *example) {
    struct chain chain = chain_in(example);
    double tower[5], screws[2];
    assert_int_equal(example_in_list(example, "tower", tower, 5), 5);
    assert_int_equal(example_in_list(example, "screws", screws, 2), 2);
    const struct bump_tower stands = {tower[0], tower[1], tower[2],  tower[3],
                                      tower[4], 0.4,      screws[0], screws[1]};
    assert_null(bump_tower_check(&stands));
    struct bump bump = bump_tips(&chain, example_in(example, "toe"), &stands);
    example_out(example, "push", bump.push_n);
    example_out(example, "at", bump.at);
}

static void by_rack(struct example *example) {
    struct chain chain = chain_in(example);
    double pin[2], pinion[2];
    assert_int_equal(example_in_list(example, "pin", pin, 2), 2);
    assert_int_equal(example_in_list(example, "pinion", pinion, 2), 2);
    chain.lift.kind = LIFT_STRUT;
    chain.lift.strut.pin = (struct point){pin[0], pin[1]};
    chain.lift.strut.pinion = (struct point){pinion[0], pinion[1]};
    struct bump bump =
        bump_by_rack(&chain, example_in(example, "toe"), example_in(example, "rack"));
    example_out(example, "push", bump.push_n);
    example_out(example, "at", bump.at);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"B6", along_track},
                                                {"B7", along_track},
                                                {"B8", by_rack},
                                                {"B9", along_track},
                                                {"B10", by_rack}};
    examples_run("bump", tests, 5);
}

/* 96 kg on a base 400 mm wide, pushed at 1 m + 2.3 m sin 75: weight x half the width / height. */
static void a_narrow_base_tips_sideways(void **state) {
    (void)state;
    struct chain chain = chain_in(examples_borrow("bump", "B6"));
    struct bump_tower tower = {25, -0.1, 1, 0.2, -0.6, 0.4, 0, -0.2};
    double height_m = 1 + 2.3 * sin(75 * NUMBER_PI / 180);
    struct bump bump = bump_tips_sideways(&chain, 2.3, &tower);
    assert_true(fabs(bump.push_n - 96 * NUMBER_GRAVITY_M_S2 * 0.2 / height_m) < 1e-9);
    assert_true(bump.at == chain.lift.travel);
    tower.screws_n = 400; /* half of them times the whole width */
    assert_true(fabs(bump_tips_sideways(&chain, 2.3, &tower).push_n - bump.push_n -
                     400 * 0.2 / height_m) < 1e-9);
}

/* A toe that hangs over so far that leaf and tower tip by themselves. */
static void what_tips_by_itself_bears_no_push(void **state) {
    (void)state;
    struct chain chain = {.lift = {.kind = LIFT_SECTOR, .travel = 0.5, .rack_radius_m = 0.3}};
    const struct balance_item item = {.mass_kg = 30, .at = {1, 0}};
    const struct bump_tower tower = {5, 0, 1, 0.3, -0.3, 0.4, 0, 0};
    assert_null(balance_of_items(LIFT_SECTOR, 0, &item, 1, &chain.balance));
    assert_true(bump_tips(&chain, 2, &tower).push_n == 0);
}

/* Past a locking worm nothing turns, whatever comes; below it each part adds to what holds. */
static void each_part_of_the_drive_withstands_a_push(void **state) {
    (void)state;
    struct chain chain = sizing_example_chain();
    struct backdrive_stop stop = {.motor_n_m = 0.003};
    assert_true(isinf(bump_turns(&chain, 2.3, &stop).push_n));
    chain.drive.worm.lead_rad = 4.8 * NUMBER_PI / 180;
    chain.drive.worm.mu_low = 0.05;
    double least_n = bump_turns(&chain, 2.3, &stop).push_n;
    assert_true(isfinite(least_n) && least_n > 0);
    stop.brake_n_m = 0.003;
    assert_true(bump_turns(&chain, 2.3, &stop).push_n > least_n);
    stop.brake_n_m = 0;
    chain.friction_running += 2.3; /* N m: one newton more at the toe */
    assert_true(fabs(bump_turns(&chain, 2.3, &stop).push_n - least_n - 1) < 1e-9);
    chain.drive.has_worm = false;
    assert_true(bump_turns(&chain, 2.3, &stop).push_n < least_n);
}

static void bad_towers_are_refused(void **state) {
    (void)state;
    struct bump_tower tower = {25, 0, 1, 0.2, 0.3, 0.4, 0, 0};
    bad_numbers_said(bump_tower_check(&tower), "front edge");
    tower.back_m = 0.1;
    bad_numbers_said(bump_tower_check(&tower), "centre");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(a_narrow_base_tips_sideways),
        cmocka_unit_test(what_tips_by_itself_bears_no_push),
        cmocka_unit_test(each_part_of_the_drive_withstands_a_push),
        cmocka_unit_test(bad_towers_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
