/* Weights that bring the seat's load to what is wanted. */
#include "mechanics/balance/weights.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/mechanics/sizing_example.h"

#include <math.h>

static void assert_near(double found, double wanted, double slack) {
    if (!(fabs(found - wanted) <= slack)) {
        fail_msg("found %.9g, wanted %.9g", found, wanted);
    }
}

/* Three pockets of 0.25 kg blocks, 6 N wanted at 2.4 m and 30 degrees: 12, 8 and 0 blocks give
 * 6.12915625 N (all 13^3 counts tried). */
static void known_counts_of_blocks_are_found(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    given.chain.balance.sx_kg_m = 4.1;
    given.chain.balance.sy_kg_m = 1.7;
    given.toe_least_n = 5;
    given.toe_most_n = 7;
    given.pockets = 3;
    const struct point at[] = {{-0.52, -0.3}, {-0.52, 0.1}, {-0.3, 0.28}};
    for (unsigned i = 0; i < 3; i++) {
        given.pocket[i] = (struct pocket){.at = at[i], .block_kg = 0.25, .blocks_max = 12};
    }
    struct weights weights = weights_of(&given);
    assert_int_equal(weights.by, WEIGHTS_POCKETS);
    assert_int_equal(weights.pockets.blocks[0], 12);
    assert_int_equal(weights.pockets.blocks[1], 8);
    assert_int_equal(weights.pockets.blocks[2], 0);
    assert_near(weights.pockets.toe_reaction_n, 6.12915625, 1e-7);
    assert_true(weights.pockets.is_reached && weights.counterweight_most_kg == 0);

    /* The same span with blocks in already, which its balance counts: the same answer. */
    given.pocket_blocks[1] = 4;
    given.chain.balance.sx_kg_m += 4 * 0.25 * at[1].x_m;
    given.chain.balance.sy_kg_m += 4 * 0.25 * at[1].y_m;
    weights = weights_of(&given);
    assert_int_equal(weights.pockets.blocks[1], 8);
    assert_near(weights.pockets.toe_reaction_n, 6.12915625, 1e-7);
}

/* Two blocks on the toe's side cannot lighten it: then the counterweight is told as well. */
static void pockets_that_do_not_reach_leave_the_counterweight(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    given.toe_least_n = 4;
    given.toe_most_n = 6;
    given.pockets = 1;
    given.pocket[0] = (struct pocket){.at = {1, 0.1}, .block_kg = 0.25, .blocks_max = 2};
    struct weights weights = weights_of(&given);
    assert_int_equal(weights.by, WEIGHTS_POCKETS);
    assert_false(weights.pockets.is_reached);
    assert_int_equal(weights.pockets.blocks[0], 0);
    assert_true(weights.counterweight_least_kg > 58);
}

static double load_with(struct sizing_given given, double counterweight_kg) {
    double more_kg = counterweight_kg - given.counterweight_kg;
    given.chain.balance.sx_kg_m += more_kg * given.counterweight.x_m;
    return balance_toe_reaction_n(&given.chain.balance, given.toe_x_m);
}

static void counterweight_gives_the_wanted_load(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    given.toe_least_n = 4;
    given.toe_most_n = 6;
    struct weights weights = weights_of(&given);
    assert_int_equal(weights.by, WEIGHTS_COUNTERWEIGHT);
    assert_true(weights.counterweight_least_kg > given.counterweight_kg); /* 11 N is too much */
    assert_near(load_with(given, weights.counterweight_least_kg), 6, 1e-9);
    assert_near(load_with(given, weights.counterweight_most_kg), 4, 1e-9);
}

static void counterweight_of_a_vertical_lift_weighs_as_it_is(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    const struct balance_ropes ropes = {.span_kg = 30, .counterweight_kg = 27};
    given.chain.lift.kind = LIFT_VERTICAL;
    given.counterweight_kg = 27;
    assert_null(balance_of_ropes(&ropes, &given.chain.balance));
    struct weights weights = weights_of(&given); /* 8 to 14 N */
    assert_near(weights.counterweight_most_kg, 30 - 8 / 9.80665, 1e-9);
    assert_near(weights.counterweight_least_kg, 30 - 14 / 9.80665, 1e-9);
}

static void nothing_is_said_without_a_wish_or_a_weight(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    given.has_counterweight = false;
    assert_int_equal(weights_of(&given).by, WEIGHTS_NONE);
    given = sizing_example();
    given.counterweight.x_m = 0.1; /* on the toe's side: no counterweight */
    assert_int_equal(weights_of(&given).by, WEIGHTS_NONE);
    given = sizing_example();
    given.toe_least_n = given.toe_most_n = NAN;
    assert_int_equal(weights_of(&given).by, WEIGHTS_NONE);
    given = sizing_example();
    given.toe_x_m = NAN;
    assert_int_equal(weights_of(&given).by, WEIGHTS_NONE);
    given = sizing_example();
    given.is_hand = true;
    assert_int_equal(weights_of(&given).by, WEIGHTS_NONE);
    given = sizing_example();
    given.toe_most_n = 1000; /* the span alone is not so heavy */
    assert_int_equal(weights_of(&given).by, WEIGHTS_NONE);
}

/* One weight of 3 kg on the tail at 0.4 m from its rail's first end: 6 N at 2.4 m want Sx =
 * 1.46839135 kg.m, and the rest has 2.9; so it must be 0.477202883 m behind the axis. */
static void a_weight_that_slides_is_told_its_place_and_its_range(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    given.toe_least_n = 5;
    given.toe_most_n = 7;
    given.slides = 1;
    given.slide[0] = (struct slide){3, {-0.7, -0.02}, {-0.1, -0.02}, 0};
    given.slide_now_m[0] = 0.4;
    given.chain.balance.sx_kg_m = 2.9 + 3 * (-0.7 + 0.4);
    given.chain.balance.sy_kg_m = 0.9 - 3 * 0.02;
    struct weights weights = weights_of(&given);
    assert_int_equal(weights.by, WEIGHTS_SLIDES);
    assert_true(weights.is_slides_reached);
    assert_near(weights.slides.place_m[0], 0.7 - 0.477202883, 1e-6);
    /* 1 N at 2.4 m is 0.244731891 kg.m: 3 kg move 81.577297 mm for it. */
    assert_near(weights.slide_least_m[0], weights.slides.place_m[0] - 0.081577297, 1e-6);
    assert_near(weights.slide_most_m[0], weights.slides.place_m[0] + 0.081577297, 1e-6);
    given.slide[0].step_m = 0.05; /* places at 0.15, 0.2, 0.25 and 0.3 m lie within */
    weights = weights_of(&given);
    assert_near(weights.slides.place_m[0], 0.2, 1e-12);
    assert_near(weights.slide_least_m[0], 0.15, 1e-12);
    assert_near(weights.slide_most_m[0], 0.3, 1e-12);
    given.chain.balance.sx_kg_m += 4; /* out of its reach: the counterweight is told as well */
    weights = weights_of(&given);
    assert_int_equal(weights.by, WEIGHTS_SLIDES);
    assert_false(weights.is_slides_reached);
    assert_true(isnan(weights.slide_least_m[0]) && weights.counterweight_most_kg > 58);
}

/* The worked swing span, 62.5 mm off its pivot, with 4.9 kg that slide. */
static void a_weight_that_slides_brings_a_swing_span_over_its_pivot(void **state) {
    (void)state;
    static const struct balance_item items[] = {{.mass_kg = 7, .at = {0.6, 0}},
                                                {.mass_kg = 4, .at = {-0.35, 0}},
                                                {.mass_kg = 4.9, .at = {-0.37, 0}}};
    struct sizing_given given = sizing_example();
    given.chain.lift = (struct lift){.kind = LIFT_SWING, .travel = 1.5, .rack_radius_m = 0.2};
    assert_null(balance_of_items(LIFT_SWING, 0, items, 3, &given.chain.balance));
    given.stand = (struct swing_stand){.bearing_m = 0.005, .toe_m = NAN, .heel_m = NAN};
    assert_int_equal(weights_of(&given).by, WEIGHTS_NONE);
    given.slides = 1;
    given.slide[0] = (struct slide){4.9, {-0.3, 0}, {-0.65, 0}, 0};
    given.slide_now_m[0] = 0.07;
    struct weights weights = weights_of(&given);
    assert_int_equal(weights.by, WEIGHTS_SLIDES);
    assert_true(weights.is_slides_reached);
    assert_near(weights.slides.place_m[0], 2.8 / 4.9 - 0.3, 1e-9); /* 7 x 0.6 - 4 x 0.35 */
    assert_near(weights.slides.sx_kg_m, 0, 1e-12);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_weight_that_slides_is_told_its_place_and_its_range),
        cmocka_unit_test(a_weight_that_slides_brings_a_swing_span_over_its_pivot),
        cmocka_unit_test(known_counts_of_blocks_are_found),
        cmocka_unit_test(pockets_that_do_not_reach_leave_the_counterweight),
        cmocka_unit_test(counterweight_gives_the_wanted_load),
        cmocka_unit_test(counterweight_of_a_vertical_lift_weighs_as_it_is),
        cmocka_unit_test(nothing_is_said_without_a_wish_or_a_weight),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
