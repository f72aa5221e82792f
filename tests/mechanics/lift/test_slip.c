#include "mechanics/lift/slip.h"
#include "support/check.h"
#include "support/mechanics/examples.h"

static void rolling(struct example *example) {
    double leaf[3], radius_m = example_in(example, "R");
    bool rides = example_in(example, "side") < 0;
    struct chain chain = {
        .lift = {.kind = LIFT_ROLLING,
                 .travel = example_in(example, "theta"),
                 .rolling = {radius_m, rides ? LIFT_ROLLING_RACK_BELOW : LIFT_ROLLING_RACK_ON_LEAF,
                             example_in(example, "r")}},
        .friction_static = example_in(example, "friction")};
    assert_int_equal(example_in_list(example, "leaf", leaf, 3), 3);
    const struct balance_item item = {.mass_kg = leaf[0], .at = {leaf[1], leaf[2]}};
    assert_null(balance_of_items(LIFT_ROLLING, radius_m, &item, 1, &chain.balance));
    struct slip slip = slip_of(&chain);
    example_out(example, "push", slip.push_n);
    example_out(example, "at", slip.at);
    example_out(example, "needed", slip.needed);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"Q1", rolling}, {"Q2", rolling}};
    examples_run("slip", tests, 2);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(worked_examples_hold)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
