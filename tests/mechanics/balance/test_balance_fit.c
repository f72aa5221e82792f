#include "mechanics/balance/balance_fit.h"
#include "mechanics/balance/least_squares.h"
#include "mechanics/drive/drive.h"
#include "mechanics/drive/motor.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/mechanics/examples.h"

#include <math.h>

enum { POSITIONS = 9 };

/* All samples together: T = A cos t + B sin t +- F. */
static void take(struct least_squares *sum, double position_rad, double torque_n_m,
                 bool is_raising) {
    double factors[] = {cos(position_rad), sin(position_rad), is_raising ? 1 : -1};
    assert_true(least_squares_add(sum, factors, torque_n_m));
}

static struct least_squares_fit fit_in(struct example *example) {
    double theta[POSITIONS], raise[POSITIONS], lower[POSITIONS];
    size_t count = example_in_list(example, "theta", theta, POSITIONS);
    assert_int_equal(example_in_list(example, "T_raise", raise, POSITIONS), count);
    assert_int_equal(example_in_list(example, "T_lower", lower, POSITIONS), count);
    struct least_squares sum;
    struct least_squares_fit fit;
    least_squares_begin(&sum, 3);
    for (size_t i = 0; i < count; i++) {
        take(&sum, theta[i], raise[i], true);
        take(&sum, theta[i], lower[i], false);
    }
    assert_null(least_squares_solve(&sum, &fit));
    example_out(example, "A", fit.value[0]);
    example_out(example, "B", fit.value[1]);
    example_out(example, "F", fit.value[2]);
    example_out(example, "WL", hypot(fit.value[0], fit.value[1]));
    example_out(example, "alpha", atan2(-fit.value[1], fit.value[0]));
    return fit;
}

static void exact_model(struct example *example) {
    struct least_squares_fit fit = fit_in(example);
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
    struct least_squares_fit fit = fit_in(example);
    /* Errors of hypot(A, B) and atan2(-B, A) to first order. */
    double a = fit.value[0], b = fit.value[1], both = a * a + b * b;
    double va = fit.covariance[0][0], vb = fit.covariance[1][1], cab = fit.covariance[0][1];
    example_out(example, "SSE", fit.residual_sum);
    example_out(example, "dof", (double)fit.degrees_of_freedom);
    example_out(example, "s_resid", fit.residual_deviation);
    example_out(example, "se_A", fit.error[0]);
    example_out(example, "se_B", fit.error[1]);
    example_out(example, "se_F", fit.error[2]);
    example_out(example, "cov_AB", cab);
    example_out(example, "se_WL", sqrt((a * a * va + b * b * vb + 2 * a * b * cab) / both));
    example_out(example, "se_alpha",
                sqrt((b * b * va + a * a * vb - 2 * a * b * cab) / (both * both)));
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

/* Behind a worm half the sum is not the moment: it reads this much of M, and of F on top. */
static void hold_bias(struct example *example, const struct bench *bench) {
    double lead = bench->drive.worm.lead_rad;
    double friction = atan(bench->mu / cos(bench->drive.worm.pressure_rad));
    double up = tan(lead + friction), down = tan(friction - lead), lossless = 2 * tan(lead);
    double of_moment = (up - down) / lossless, of_friction = (up + down) / lossless;
    double but_for_worm = bench->drive.pinion_radius_m / (bench->arm * drive_ratio(&bench->drive) *
                                                          bench->drive.planetary_efficiency);
    double half = balance_fit_halves(raising(bench, 0), lowering(bench, 0)).moment_n_m;
    example_out(example, "naive_half_sum_M_est", half / but_for_worm);
    example_out(example, "coef_on_M", of_moment);
    example_out(example, "coef_on_F", of_friction);
    double predicted = of_moment * bench->moment + of_friction * bench->friction;
    assert_true(fabs(half / but_for_worm - predicted) < 1e-9);
}

static void through_a_worm(struct example *example) {
    struct bench bench = bench_in(example);
    double added = balance_fit_added_moment_n_m(example_in(example, "test_mass"),
                                                (struct point){example_in(example, "x_toe"), 0},
                                                example_in(example, "theta"));
    double up = raising(&bench, 0), up_loaded = raising(&bench, added);
    double down = lowering(&bench, 0), down_loaded = lowering(&bench, added);
    double up_gain = (up_loaded - up) / added, down_gain = (down_loaded - down) / added;
    struct balance_fit_pair pair = balance_fit_halves(up / up_gain, down / down_gain);
    example_out(example, "tau_raise_0", up);
    example_out(example, "tau_lower_0", down);
    example_out(example, "tau_raise_test", up_loaded);
    example_out(example, "tau_lower_test", down_loaded);
    example_out(example, "gain_raise", up_gain);
    example_out(example, "gain_lower", down_gain);
    example_out(example, "M_est", pair.moment_n_m);
    example_out(example, "F_est", pair.friction_n_m);
    hold_bias(example, &bench);
    double ke = 0.00665852313; /* D2, Kt = Ke */
    struct motor motor = {0.285714286, ke, ke, 1};
    example_out(example, "I_raise_0", motor_current_a(&motor, up));
    example_out(example, "I_lower_0", motor_current_a(&motor, -down));
    example_out(example, "amps_per_Nm_leaf_raising", up_gain / motor.kt_n_m_a);
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

static void added_moment_turns_with_the_leaf(void **state) {
    (void)state;
    struct point toe = {2.4, 0.1};
    double quarter = NUMBER_PI / 2; /* the toe stands above: its height counts backwards */
    assert_true(fabs(balance_fit_added_moment_n_m(0.5, toe, quarter) + 0.05 * 9.80665) < 1e-12);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(added_moment_turns_with_the_leaf),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
