#include "mechanics/lift/rope.h"
#include "support/check.h"
#include "support/mechanics/examples.h"

static void hanging(struct example *example) {
    double sides[2];
    assert_int_equal(example_in_list(example, "sides", sides, 2), 2);
    const struct balance_ropes ropes = {.span_kg = 30,
                                        .counterweight_kg = example_in(example, "cw"),
                                        .ropes = (unsigned)example_in(example, "n"),
                                        .rope_kg_m = example_in(example, "w"),
                                        .span_side_m = sides[0],
                                        .counterweight_side_m = sides[1]};
    const struct rope rope = {.diameter_m = example_in(example, "d"),
                              .modulus_pa = example_in(example, "E")};
    example_out(example, "tension", rope_tension_n(&ropes));
    example_out(example, "stretch", rope_stretch_m(&rope, &ropes));
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"W1", hanging}};
    examples_run("rope", tests, 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(worked_examples_hold)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
