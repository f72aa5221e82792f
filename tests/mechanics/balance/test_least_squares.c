#include "mechanics/balance/least_squares.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>
#include <stdio.h>

static struct least_squares_fit solve(const struct least_squares *sum) {
    struct least_squares_fit fit;
    assert_null(least_squares_solve(sum, &fit));
    return fit;
}

static void norris(struct example *example) {
    double x[36], y[36];
    size_t count = example_in_list(example, "x", x, 36);
    assert_int_equal(example_in_list(example, "y", y, 36), count);
    struct least_squares sum;
    least_squares_begin(&sum, 2);
    for (size_t i = 0; i < count; i++) {
        assert_true(least_squares_add(&sum, (double[]){1, x[i]}, y[i]));
    }
    struct least_squares_fit fit = solve(&sum);
    example_out(example, "B0", fit.value[0]);
    example_out(example, "se_B0", fit.error[0]);
    example_out(example, "B1", fit.value[1]);
    example_out(example, "se_B1", fit.error[1]);
    example_out(example, "s_resid", fit.residual_deviation);
    example_out(example, "SS_resid", fit.residual_sum);
    example_out(example, "MS_resid", fit.residual_deviation * fit.residual_deviation);
    example_out(example, "dof", (double)fit.degrees_of_freedom);
}

static void no_intercept(struct example *example) {
    double x[11], y[11];
    size_t count = example_in_list(example, "x", x, 11);
    assert_int_equal(example_in_list(example, "y", y, 11), count);
    assert_true(example_in(example, "intercept") == 0);
    struct least_squares sum;
    least_squares_begin(&sum, 1);
    for (size_t i = 0; i < count; i++) {
        assert_true(least_squares_add(&sum, &x[i], y[i]));
    }
    struct least_squares_fit fit = solve(&sum);
    example_out(example, "B1", fit.value[0]);
    example_out(example, "se_B1", fit.error[0]);
    example_out(example, "s_resid", fit.residual_deviation);
}

static void polynomial(struct example *example) {
    double x[21], y[21];
    size_t count = example_in_list(example, "x", x, 21);
    assert_int_equal(example_in_list(example, "y", y, 21), count);
    unsigned unknowns = (unsigned)example_in(example, "degree") + 1;
    assert_int_equal(unknowns, 6);
    struct least_squares sum;
    least_squares_begin(&sum, unknowns);
    for (size_t i = 0; i < count; i++) {
        double powers[6] = {1};
        for (unsigned k = 1; k < unknowns; k++) {
            powers[k] = powers[k - 1] * x[i];
        }
        assert_true(least_squares_add(&sum, powers, y[i]));
    }
    struct least_squares_fit fit = solve(&sum);
    for (unsigned k = 0; k < unknowns; k++) {
        char name[16];
        snprintf(name, sizeof name, "B%u", k);
        example_out(example, name, fit.value[k]);
    }
    example_out(example, "s_resid", fit.residual_deviation);
}

static void longley(struct example *example) {
    struct least_squares sum;
    least_squares_begin(&sum, 7);
    for (unsigned i = 1; i <= 16; i++) {
        char name[16];
        double row[7];
        snprintf(name, sizeof name, "r%u", i);
        assert_int_equal(example_in_list(example, name, row, 7), 7);
        double y = row[0];
        row[0] = 1; /* the intercept, in the place of y */
        assert_true(least_squares_add(&sum, row, y));
    }
    struct least_squares_fit fit = solve(&sum);
    example_out_list(example, "B", fit.value, 7);
    example_out_list(example, "se", fit.error, 7);
    example_out(example, "SS_resid", fit.residual_sum);
    example_out(example, "s_resid", fit.residual_deviation);
    example_out(example, "dof", (double)fit.degrees_of_freedom);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {
        {"T3", norris}, {"T4", no_intercept}, {"T5", polynomial}, {"T6", longley}};
    examples_run("least_squares", tests, 4);
}

static void samples_that_say_too_little_are_refused(void **state) {
    (void)state;
    struct least_squares sum;
    struct least_squares_fit fit = {.residual_sum = 42};
    least_squares_begin(&sum, 2);
    assert_true(least_squares_add(&sum, (double[]){1, 3}, 1));
    bad_numbers_said(least_squares_solve(&sum, &fit), "fewer samples");
    assert_true(least_squares_add(&sum, (double[]){1, 3}, 2));
    bad_numbers_said(least_squares_solve(&sum, &fit), "apart");
    assert_true(fit.residual_sum == 42);
    assert_true(least_squares_add(&sum, (double[]){1, 4}, 2));
    assert_null(least_squares_solve(&sum, &fit));
}

/* The third column is the sum of the others but for rounding, and one that is small is no less
 * for it. */
static void telling_apart_goes_by_the_column_not_by_its_size(void **state) {
    (void)state;
    struct least_squares_fit fit;
    for (int power = -12; power <= 12; power += 6) {
        double scale = pow(10, power);
        struct least_squares dependent, sound;
        least_squares_begin(&dependent, 3);
        least_squares_begin(&sound, 3);
        for (int i = 0; i < 9; i++) {
            double x = 0.1 * i, sum = (1 + x) * scale;
            assert_true(least_squares_add(&dependent, (double[]){1, x, sum}, x * x));
            assert_true(least_squares_add(&sound, (double[]){1, x, x * x * scale}, x * x));
        }
        bad_numbers_said(least_squares_solve(&dependent, &fit), "apart");
        assert_null(least_squares_solve(&sound, &fit));
        assert_true(fabs(fit.value[2] * scale - 1) < 1e-12);
    }
}

static void no_sample_to_spare_leaves_errors_unknown(void **state) {
    (void)state;
    struct least_squares sum;
    least_squares_begin(&sum, 2);
    assert_true(least_squares_add(&sum, (double[]){1, 0}, 1));
    assert_true(least_squares_add(&sum, (double[]){1, 2}, 5));
    struct least_squares_fit fit = solve(&sum);
    assert_true(fabs(fit.value[0] - 1) < 1e-12 && fabs(fit.value[1] - 2) < 1e-12);
    assert_int_equal(fit.degrees_of_freedom, 0);
    assert_true(isnan(fit.residual_deviation) && isnan(fit.error[0]));
}

static void numbers_that_are_not_finite_are_not_taken(void **state) {
    (void)state;
    struct least_squares sum;
    least_squares_begin(&sum, 2);
    assert_false(least_squares_add(&sum, (double[]){1, NAN}, 1));
    assert_false(least_squares_add(&sum, (double[]){INFINITY, 1}, 1));
    assert_false(least_squares_add(&sum, (double[]){1, 1}, NAN));
    assert_false(least_squares_add(&sum, (double[]){1, 1}, -INFINITY));
    assert_int_equal(sum.samples, 0);
    assert_true(sum.triangle[0][0] == 0);
}

static void unknowns_are_bounded(void **state) {
    (void)state;
    struct least_squares sum;
    least_squares_begin(&sum, 1000);
    assert_int_equal(sum.unknowns, LEAST_SQUARES_MAX);
    least_squares_begin(&sum, 0);
    struct least_squares_fit fit;
    bad_numbers_said(least_squares_solve(&sum, &fit), "fewer samples");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(samples_that_say_too_little_are_refused),
        cmocka_unit_test(telling_apart_goes_by_the_column_not_by_its_size),
        cmocka_unit_test(no_sample_to_spare_leaves_errors_unknown),
        cmocka_unit_test(numbers_that_are_not_finite_are_not_taken),
        cmocka_unit_test(unknowns_are_bounded),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
