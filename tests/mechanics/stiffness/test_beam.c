#include "mechanics/stiffness/beam.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

static void cantilever(struct example *example) {
    double toe_m = example_in(example, "toe"), force_n = example_in(example, "F");
    double stiffness = example_in(example, "EI");
    example_out(example, "sag", beam_toe_sag_m(example_in(example, "w"), toe_m, stiffness));
    double sag_m = force_n * toe_m * toe_m * toe_m / 3 / stiffness;
    example_out(example, "EI_measured", beam_stiffness_measured(force_n, toe_m, sag_m));
}

static void train(struct example *example) {
    double span_m = example_in(example, "span"), stiffness = example_in(example, "EI");
    const struct beam_train train = {example_in(example, "w"), example_in(example, "length")};
    example_out(example, "bend", beam_bend_m(&train, span_m, stiffness));
    example_out(example, "slope", beam_slope(&train, span_m, stiffness));
}

static void section(struct example *example) {
    const struct beam_section section = {2, example_in(example, "b"), example_in(example, "h"),
                                         example_in(example, "t"), example_in(example, "E")};
    assert_null(beam_section_check(&section));
    example_out(example, "EI", beam_stiffness_of(&section));
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"S1", cantilever}, {"S2", train}, {"S3", section}};
    examples_run("beam", tests, 3);
}

/* 5 w L^4/(384 E I) and w L^3/(24 E I), as in any table of beams. */
static void a_train_longer_than_the_span_loads_all_of_it(void **state) {
    (void)state;
    const struct beam_train train = {10, 50};
    assert_true(fabs(beam_bend_m(&train, 2, 1) - 5 * 10 * 16 / 384.0) < 1e-12);
    assert_true(fabs(beam_slope(&train, 2, 1) - 10 * 8 / 24.0) < 1e-12);
}

/* b h^3/12. */
static void a_bar_is_solid(void **state) {
    (void)state;
    const struct beam_section bar = {1, 0.02, 0.08, 0, 12};
    assert_true(fabs(beam_stiffness_of(&bar) - 0.02 * 0.08 * 0.08 * 0.08) < 1e-15);
    const struct beam_section thick = {1, 0.02, 0.08, 0.01, 12};
    bad_numbers_said(beam_section_check(&thick), "wall");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(a_train_longer_than_the_span_loads_all_of_it),
        cmocka_unit_test(a_bar_is_solid),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
