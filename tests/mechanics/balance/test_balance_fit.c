#include "mechanics/balance/balance_fit.h"
#include "mechanics/drive/drive.h"
#include "mechanics/drive/motor.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

enum { POSITIONS = 9 };

static struct balance_fit fit_in(struct example *example) {
    double theta[POSITIONS], raise[POSITIONS], lower[POSITIONS];
    size_t count = example_in_list(example, "theta", theta, POSITIONS);
    assert_int_equal(example_in_list(example, "T_raise", raise, POSITIONS), count);
    assert_int_equal(example_in_list(example, "T_lower", lower, POSITIONS), count);
    struct least_squares sum;
    struct balance_fit fit;
    balance_fit_begin(&sum);
    for (size_t i = 0; i < count; i++) {
        assert_true(balance_fit_add(&sum, theta[i], raise[i], true));
        assert_true(balance_fit_add(&sum, theta[i], lower[i], false));
    }
    assert_null(balance_fit_solve(&sum, &fit));
    example_out(example, "A", fit.cosine_n_m);
    example_out(example, "B", fit.sine_n_m);
    example_out(example, "F", fit.friction_n_m);
    example_out(example, "WL", fit.weight_moment_n_m);
    example_out(example, "alpha", fit.angle_rad);
    return fit;
}

static void exact_model(struct example *example) {
    struct balance_fit fit = fit_in(example);
    double raise[POSITIONS], lower[POSITIONS], half[POSITIONS];
    size_t count = example_in_list(example, "T_raise", raise, POSITIONS);
    example_in_list(example, "T_lower", lower, POSITIONS);
    for (size_t i = 0; i < count; i++) {
        struct balance_fit_pair pair = balance_fit_halves(raise[i], lower[i]);
        half[i] = pair.moment_n_m;
        assert_true(fabs(pair.friction_n_m - 3.5) < 1e-8); /* F of the model */
    }
    example_out(example, "rms_resid", sqrt(fit.residual_sum / (2.0 * (double)count)));
    example_out_list(example, "imbalance_half_sum", half, count);
}

static void measured_with_noise(struct example *example) {
    struct balance_fit fit = fit_in(example);
    example_out(example, "SSE", fit.residual_sum);
    example_out(example, "dof", (double)fit.degrees_of_freedom);
    example_out(example, "s_resid", fit.residual_deviation_n_m);
    example_out(example, "se_A", fit.cosine_error_n_m);
    example_out(example, "se_B", fit.sine_error_n_m);
    example_out(example, "se_F", fit.friction_error_n_m);
    example_out(example, "cov_AB", fit.cosine_sine_covariance);
    example_out(example, "se_WL", fit.weight_moment_error_n_m);
    example_out(example, "se_alpha", fit.angle_error_rad);
}

/* The bridge T7 measures: what the motor gives for M and F, raising and lowering. */
struct bench {
    struct drive drive;
    double mu, arm, moment, friction;
};

static struct bench bench_in(struct example *example) {
    double mu = example_in(example, "mu");
    struct bench bench = {
        .drive = {.pinion_radius_m = example_in(example, "r_pinion"),
                  .planetary_ratio = example_in(example, "i_planetary"),
                  .planetary_efficiency = example_in(example, "eta_planetary"),
                  .has_worm = true,
                  .worm = {example_in(example, "i_worm"), example_in(example, "worm_lambda"),
                           example_in(example, "phi_n"), mu, mu},
                  .rack_efficiency = 1},
        .mu = mu,
        .arm = example_in(example, "h_strut"),
        .moment = example_in(example, "M_true"),
        .friction = example_in(example, "F_true"),
    };
    assert_null(drive_check(&bench.drive));
    return bench;
}

static double raising(const struct bench *bench, double added) {
    double force = drive_rack_force_n(bench->moment + added, bench->friction, 0, bench->arm);
    return drive_motor_torque_n_m(&bench->drive, force, bench->mu);
}

/* The drive counts in the sense it turns, the test in the raising sense. */
static double lowering(const struct bench *bench, double added) {
    double force = drive_rack_force_n(-(bench->moment + added), bench->friction, 0, bench->arm);
    return -drive_motor_torque_n_m(&bench->drive, force, bench->mu);
}

static void hold_bias(struct example *example, const struct bench *bench) {
    struct balance_fit_bias bias = balance_fit_worm_bias(&bench->drive.worm, bench->mu);
    double but_for_worm = bench->drive.pinion_radius_m / (bench->arm * drive_ratio(&bench->drive) *
                                                          bench->drive.planetary_efficiency);
    double half = balance_fit_halves(raising(bench, 0), lowering(bench, 0)).moment_n_m;
    example_out(example, "naive_half_sum_M_est", half / but_for_worm);
    example_out(example, "coef_on_M", bias.of_moment);
    example_out(example, "coef_on_F", bias.of_friction);
    double predicted = bias.of_moment * bench->moment + bias.of_friction * bench->friction;
    assert_true(fabs(half / but_for_worm - predicted) < 1e-9);
}

static void through_a_worm(struct example *example) {
    struct bench bench = bench_in(example);
    double added = balance_fit_added_moment_n_m(example_in(example, "test_mass"),
                                                (struct point){example_in(example, "x_toe"), 0},
                                                example_in(example, "theta"));
    struct balance_fit_worm_test test = {raising(&bench, 0), lowering(&bench, 0),
                                         raising(&bench, added), lowering(&bench, added), added};
    struct balance_fit_worm found;
    assert_null(balance_fit_worm_solve(&test, &found));
    example_out(example, "tau_raise_0", test.raising_n_m);
    example_out(example, "tau_lower_0", test.lowering_n_m);
    example_out(example, "tau_raise_test", test.raising_loaded_n_m);
    example_out(example, "tau_lower_test", test.lowering_loaded_n_m);
    example_out(example, "gain_raise", found.raising_gain);
    example_out(example, "gain_lower", found.lowering_gain);
    example_out(example, "M_est", found.pair.moment_n_m);
    example_out(example, "F_est", found.pair.friction_n_m);
    hold_bias(example, &bench);
    double ke = 0.00665852313; /* D2, Kt = Ke */
    struct motor motor = {0.285714286, ke, ke, 1};
    example_out(example, "I_raise_0", motor_current_a(&motor, test.raising_n_m));
    example_out(example, "I_lower_0", motor_current_a(&motor, -test.lowering_n_m));
    example_out(example, "amps_per_Nm_leaf_raising", found.raising_gain / motor.kt_n_m_a);
}

static void spring_scale(struct example *example) {
    double toe = example_in(example, "x_toe");
    struct balance_fit_pair pair =
        balance_fit_spring_scale(example_in(example, "F_up"), example_in(example, "F_down"), toe);
    example_out(example, "M0", pair.moment_n_m);
    example_out(example, "F_friction_moment", pair.friction_n_m);
    example_out(example, "toe_reaction", pair.moment_n_m / toe);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"T1", exact_model},
                                                {"T2", measured_with_noise},
                                                {"T7", through_a_worm},
                                                {"T8", spring_scale}};
    examples_run("balance_fit", tests, 4);
}

/* At an efficiency of 0.9 half the sum reads 1.0056 M + 0.106 F (derived: gain 1/eta and eta). */
static void spur_gears_bias_little(void **state) {
    (void)state;
    struct balance_fit_bias bias = balance_fit_spur_bias(0.9);
    assert_true(fabs(bias.of_moment - 1.0056) < 5e-5);
    assert_true(fabs(bias.of_friction - 0.106) < 5e-4);
}

static void added_moment_turns_with_the_leaf(void **state) {
    (void)state;
    struct point toe = {2.4, 0.1};
    double quarter = NUMBER_PI / 2; /* the toe stands above: its height counts backwards */
    assert_true(fabs(balance_fit_added_moment_n_m(0.5, toe, quarter) + 0.05 * 9.80665) < 1e-12);
}

static void one_direction_or_one_position_is_refused(void **state) {
    (void)state;
    struct least_squares sum;
    struct balance_fit fit;
    balance_fit_begin(&sum);
    for (int i = 0; i < 6; i++) {
        assert_true(balance_fit_add(&sum, 0.7, 5, i % 2 == 0));
    }
    bad_numbers_said(balance_fit_solve(&sum, &fit), "apart");
    balance_fit_begin(&sum);
    assert_true(balance_fit_add(&sum, 0, 5, true));
    assert_true(balance_fit_add(&sum, 0.5, 5, true));
    bad_numbers_said(balance_fit_solve(&sum, &fit), "fewer samples");
    balance_fit_begin(&sum);
    assert_false(balance_fit_add(&sum, NAN, 5, true));
    assert_false(balance_fit_add(&sum, 0.5, INFINITY, true));
}

static const char *check(const void *what) {
    struct balance_fit_worm unused;
    return balance_fit_worm_solve(what, &unused);
}

static void bad_worm_tests_are_refused(void **state) {
    (void)state;
    struct balance_fit_worm_test test = {1.9e-3, -1.6e-4, 2.9e-3, -2.8e-4, 11.8};
    bad_numbers_refused(&test.raising_n_m, NOT_FINITE, check, &test);
    bad_numbers_refused(&test.lowering_n_m, NOT_FINITE, check, &test);
    bad_numbers_refused(&test.raising_loaded_n_m, NOT_FINITE, check, &test);
    bad_numbers_refused(&test.lowering_loaded_n_m, NOT_FINITE, check, &test);
    bad_numbers_refused(&test.added_moment_n_m, NOT_FINITE, check, &test);
    test.added_moment_n_m = 0;
    bad_numbers_said(check(&test), "add a moment");
    test.added_moment_n_m = 11.8;
    test.lowering_loaded_n_m = test.lowering_n_m;
    bad_numbers_said(check(&test), "too light");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(spur_gears_bias_little),
        cmocka_unit_test(added_moment_turns_with_the_leaf),
        cmocka_unit_test(one_direction_or_one_position_is_refused),
        cmocka_unit_test(bad_worm_tests_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
