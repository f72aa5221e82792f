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

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(known_counts_of_blocks_are_found),
        cmocka_unit_test(pockets_that_do_not_reach_leave_the_counterweight),
        cmocka_unit_test(counterweight_gives_the_wanted_load),
        cmocka_unit_test(counterweight_of_a_vertical_lift_weighs_as_it_is),
        cmocka_unit_test(nothing_is_said_without_a_wish_or_a_weight),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
