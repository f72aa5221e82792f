/* Balance and friction from the motor's current: worked values, and what a worm makes of them. */
#include "mechanics/balance/balance_fit.h"
#include "mechanics/balance/balance_test.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/core/core_near.h"
#include "support/mechanics/examples.h"

#include <math.h>
#include <string.h>

enum { MOST = 200 };

/* The motor of D2 with Kt = Ke, and a toothed sector, whose arm is the same everywhere. */
static struct chain chain_with(double arm_m) {
    struct chain chain = {
        .lift = {.kind = LIFT_SECTOR, .travel = 80 * NUMBER_PI / 180, .rack_radius_m = arm_m},
        .drive = {.pinion_radius_m = 0.00635,
                  .planetary_ratio = 10,
                  .planetary_efficiency = 1,
                  .rack_efficiency = 1},
        .motor = {0.285714286, 0.00665852313, 0.00665852313, 1},
        .supply_v = 12,
    };
    return chain;
}

static void add_worm(struct chain *chain, double mu_low, double mu_high) {
    chain->drive.has_worm = true;
    chain->drive.planetary_efficiency = 0.85;
    chain->drive.worm =
        (struct worm){40, 2.86240523 * NUMBER_PI / 180, 20 * NUMBER_PI / 180, mu_low, mu_high};
}

/* What the motor takes for this torque of the drive on the span, through a lossless drive. */
static struct balance_sample sample_of(const struct chain *chain, double position_rad,
                                       double torque_n_m, bool is_raising) {
    double per_position =
        drive_motor_per_position(&chain->drive, lift_rack_arm(&chain->lift, position_rad));
    double motor_n_m = (is_raising ? 1 : -1) * torque_n_m / per_position;
    return (struct balance_sample){.position_rad = position_rad,
                                   .speed_rad_s = is_raising ? 0.01 : -0.01,
                                   .current_a =
                                       chain->motor.no_load_a + motor_n_m / chain->motor.kt_n_m_a,
                                   .is_raising = is_raising};
}

/* T1 and T2: torques on the span as printed in tests/mechanics/examples/balance_fit.ex (practice of
 * movable bridge testing: Kanagy & Giernacky, Movable Bridge Friction Review, HMS 20th symposium),
 * here as currents of a drive without losses. */
static size_t samples_of(const char *id, const struct chain *chain,
                         struct balance_sample samples[MOST]) {
    struct example *example = examples_borrow("balance_fit", id);
    double theta[16], raise[16], lower[16];
    size_t count = example_in_list(example, "theta", theta, 16);
    example_in_list(example, "T_raise", raise, 16);
    example_in_list(example, "T_lower", lower, 16);
    for (size_t i = 0; i < count; i++) {
        samples[2 * i] = sample_of(chain, theta[i], raise[i], true);
        samples[2 * i + 1] = sample_of(chain, theta[i], lower[i], false);
    }
    return 2 * count;
}

static const struct balance_weight no_weight = {0, {0, 0}};

static void lossless_drive_gives_back_the_model(void **state) {
    (void)state;
    struct chain chain = chain_with(0.5);
    struct balance_sample samples[MOST];
    struct balance_test test;
    size_t count = samples_of("T1", &chain, samples);
    assert_null(balance_test_solve(&chain, samples, count, &no_weight, balance_asked(10), &test));
    assert_near(test.cosine_n_m.value, 26.82, 1e-7); /* T1: A, B, F */
    assert_near(test.sine_n_m.value, -14.02, 1e-7);
    assert_near(test.friction_n_m.value, 3.5, 1e-7);
    assert_near(test.half_sum_n_m, 26.82, 1e-7);
    assert_false(test.are_gains_measured);
    assert_near(test.gains.up, 1, 1e-12);
    assert_near(test.gains.down, 1, 1e-12);
}

static void standard_errors_are_those_of_the_samples(void **state) {
    (void)state;
    struct chain chain = chain_with(0.5);
    struct balance_sample samples[MOST];
    struct balance_test test;
    size_t count = samples_of("T2", &chain, samples);
    assert_null(balance_test_solve(&chain, samples, count, &no_weight, balance_asked(10), &test));
    assert_near(test.cosine_n_m.value, 26.8480624, 1e-6); /* T2 */
    assert_near(test.sine_n_m.value, -14.0550714, 1e-6);
    assert_near(test.friction_n_m.value, 3.49666667, 1e-6);
    assert_near(test.cosine_n_m.scatter, 0.0863032966, 1e-8);
    assert_near(test.sine_n_m.scatter, 0.096490019, 1e-8);
    assert_near(test.friction_n_m.scatter, 0.0497423297, 1e-8);
    assert_near(test.deviation_n_m, 0.211038832, 1e-8);
    assert_true(test.cosine_n_m.gains == 0);
    /* 2 % of 1 A through 787 to 1: its sign is that of the way, as friction's. */
    assert_near(test.friction_n_m.no_load, 0.02 * 0.00665852313 * 10 * 0.5 / 0.00635, 1e-9);
}

/* The bridge of T7: M 20 N.m, F 3.5 N.m on a strut's arm of 0.527920085 m, worm 2.86 deg, mu 0.06;
 * here at several angles, M as cosine. */
static size_t worm_runs(const struct chain *chain, double mu, double weight_kg, double noise_a,
                        struct balance_sample samples[MOST]) {
    size_t count = 0;
    for (int loaded = 0; loaded < (weight_kg > 0 ? 2 : 1); loaded++) {
        for (int way = 1; way >= -1; way -= 2) {
            for (int i = 0; i <= 16; i++) {
                double t = i * 5 * NUMBER_PI / 180;
                double moment = 20 * cos(t);
                moment +=
                    loaded * balance_fit_added_moment_n_m(weight_kg, (struct point){2.4, 0}, t);
                double force = drive_rack_force_n(way * moment, 3.5, 0, 0.527920085);
                double motor = drive_motor_torque_n_m(&chain->drive, force, mu);
                samples[count++] =
                    (struct balance_sample){.position_rad = t,
                                            .speed_rad_s = 0.01,
                                            .current_a = motor_current_a(&chain->motor, motor) +
                                                         (i % 2 == 0 ? noise_a : -noise_a),
                                            .is_raising = way > 0,
                                            .is_loaded = loaded != 0};
            }
        }
    }
    return count;
}

static void known_weight_at_the_toe_needs_no_friction_coefficient(void **state) {
    (void)state;
    struct chain chain = chain_with(0.527920085);
    add_worm(&chain, 0.02, 0.2); /* nothing known of it */
    struct balance_sample samples[MOST];
    const struct balance_weight weight = {0.5, {2.4, 0}};
    struct balance_test test;
    size_t count = worm_runs(&chain, 0.06, 0.5, 0, samples);
    assert_near(samples[0].current_a, 1.28521402, 1e-7);  /* T7: I_raise_0 */
    assert_near(samples[17].current_a, 1.02420745, 1e-7); /* T7: I_lower_0 */
    assert_null(balance_test_solve(&chain, samples, count, &weight, balance_asked(12), &test));
    assert_true(test.are_gains_measured);
    assert_near(test.cosine_n_m.value, 20, 1e-5); /* T7: M_est, F_est */
    assert_near(test.sine_n_m.value, 0, 1e-5);
    assert_near(test.friction_n_m.value, 3.5, 1e-5);
    double per_position = 400 * 0.527920085 / 0.00635;
    assert_near(test.gains.up / per_position, 8.08129412e-05, 1e-12); /* T7: gain_raise */
    assert_near(test.gains.down / per_position, -9.76883997e-06, 1e-12);
    assert_near(test.up_a_per_n_m, 0.0121367666, 1e-8); /* T7: amps_per_Nm_leaf_raising */
}

/* All torques are in proportion to the motor's constant; a weight gauges it with the gears. */
static void a_motor_that_may_be_off_puts_the_moment_off(void **state) {
    (void)state;
    struct chain chain = chain_with(0.527920085);
    add_worm(&chain, 0.05, 0.07);
    struct balance_sample samples[MOST];
    const struct balance_weight weight = {0.5, {2.4, 0}};
    struct balance_test test;
    size_t count = worm_runs(&chain, 0.06, 0.5, 0, samples);
    size_t plain = count / 2;
    struct balance_asked asked = balance_asked(12);
    asked.motor_share = 0.08;
    asked.no_load_share = 0;
    assert_null(balance_test_solve(&chain, samples, plain, &no_weight, asked, &test));
    assert_near(test.cosine_n_m.motor, 0.08 * 20, 1e-5);
    assert_true(test.cosine_n_m.error >= test.cosine_n_m.motor);
    assert_near(test.friction_n_m.no_load, 0, 1e-9);
    assert_null(balance_test_solve(&chain, samples, count, &weight, asked, &test));
    assert_near(test.cosine_n_m.motor, 0, 1e-9);
    chain.motor.kt_n_m_a *= 1.08; /* what is said of it would be so much too much */
    assert_null(balance_test_solve(&chain, samples, count, &weight, asked, &test));
    assert_near(test.cosine_n_m.value, 20, 1e-3);
}

static void a_stuck_sensor_is_not_believed(void **state) {
    (void)state;
    struct chain chain = chain_with(0.5);
    struct balance_sample samples[MOST];
    struct balance_test test;
    size_t count = samples_of("T1", &chain, samples);
    for (size_t i = 0; i < count; i++) {
        samples[i].current_a = samples[i].is_raising ? samples[i].current_a : 1.25;
    }
    const char *wrong =
        balance_test_solve(&chain, samples, count, &no_weight, balance_asked(10), &test);
    assert_non_null(wrong);
    assert_non_null(strstr(wrong, "its sensor is stuck"));
}

/* T7: half the sum reads 24.56 where there are 20 N.m (lossless but for the planetary). */
static void half_the_sum_is_wrong_behind_a_worm(void **state) {
    (void)state;
    struct chain chain = chain_with(0.527920085);
    add_worm(&chain, 0.06, 0.06);
    struct balance_sample samples[MOST];
    struct balance_test test;
    size_t count = worm_runs(&chain, 0.06, 0, 0, samples);
    assert_null(balance_test_solve(&chain, samples, count, &no_weight, balance_asked(12), &test));
    double up = balance_test_torque_n_m(&chain, &samples[0], 1);
    double down = balance_test_torque_n_m(&chain, &samples[17], 1);
    /* Of the two only the lowering worm brakes nothing: both pay the planetary once. */
    assert_near((up + down) / 2 * 0.85, 24.562509, 1e-5);
    assert_near(test.cosine_n_m.value, 20, 1e-6); /* with its friction known, it is right */
    assert_near(test.friction_n_m.value, 3.5, 1e-6);
    assert_true(fabs(test.half_sum_n_m - 20) > 1);
}

/* At 80 deg and more the leaf weighs less than its friction: the motor pushes it down, and the gain
 * is that of raising. */
static void leaf_lighter_than_its_friction_is_pushed_down(void **state) {
    (void)state;
    struct chain chain = chain_with(0.527920085);
    add_worm(&chain, 0.06, 0.06);
    struct balance_sample samples[MOST];
    struct balance_test test;
    size_t count = worm_runs(&chain, 0.06, 0, 0, samples);
    /* M = 20 cos 80 deg = 3.47 N.m, F = 3.5 N.m */
    double pushed = balance_test_torque_n_m(&chain, &samples[17 + 16], 1);
    assert_true(pushed < 0);
    assert_null(balance_test_solve(&chain, samples, count, &no_weight, balance_asked(12), &test));
    assert_near(test.cosine_n_m.value, 20, 1e-6);
    assert_near(test.friction_n_m.value, 3.5, 1e-6);
}

/* With usual data of a worm and usual currents the drive does not see 6 N.m, half of 5 N at the
 * toe; without a worm it does. */
static void drive_that_cannot_see_the_imbalance_says_so(void **state) {
    (void)state;
    struct chain worm = chain_with(0.527920085);
    struct balance_sample samples[MOST];
    struct balance_test test;
    add_worm(&worm, 0.04, 0.09);
    size_t count = worm_runs(&worm, 0.06, 0, 0.01, samples);
    assert_null(balance_test_solve(&worm, samples, count, &no_weight, balance_asked(6), &test));
    assert_int_equal(test.sight, BALANCE_NOT_SEEN);
    assert_true(fabs(test.cosine_n_m.value - 20) <= 3 * test.cosine_n_m.error);
    assert_true(test.cosine_n_m.gains > test.cosine_n_m.scatter);

    struct chain spur = chain_with(0.527920085);
    count = samples_of("T2", &spur, samples);
    assert_null(balance_test_solve(&spur, samples, count, &no_weight, balance_asked(6), &test));
    assert_int_equal(test.sight, BALANCE_SEEN);
}

/* Of a worm whose friction is given as one value some uncertainty is left all the same. */
static void one_value_of_friction_is_not_known_exactly(void **state) {
    (void)state;
    struct chain chain = chain_with(0.527920085);
    add_worm(&chain, 0.06, 0.06);
    struct balance_sample samples[MOST];
    struct balance_test test;
    size_t count = worm_runs(&chain, 0.05, 0, 0, samples); /* it is 0.05 in truth */
    assert_null(balance_test_solve(&chain, samples, count, &no_weight, balance_asked(12), &test));
    assert_true(test.cosine_n_m.gains > 1);
    assert_true(fabs(test.cosine_n_m.value - 20) > 2);
    assert_true(fabs(test.cosine_n_m.value - 20) <= 2 * test.cosine_n_m.error);
}

/* A worm that rubs twice as much as it is said to: the fit would have a friction below zero, and
 * residuals that go on from sample to sample. */
static void fit_that_no_span_can_have_is_a_misfit(void **state) {
    (void)state;
    struct chain chain = chain_with(0.527920085);
    add_worm(&chain, 0.06, 0.06);
    struct balance_sample samples[MOST];
    struct balance_test test;
    size_t count = worm_runs(&chain, 0.12, 0, 0.005, samples);
    assert_null(balance_test_solve(&chain, samples, count, &no_weight, balance_asked(40), &test));
    assert_true(test.friction_n_m.value + test.friction_n_m.error < 0);
    assert_int_equal(test.sight, BALANCE_MISFIT);

    /* Lower than said, its friction comes out above zero; the pattern tells. */
    count = worm_runs(&chain, 0.02, 0, 0.005, samples);
    assert_null(balance_test_solve(&chain, samples, count, &no_weight, balance_asked(8), &test));
    assert_true(test.friction_n_m.value > 0 && test.pattern_n_m > 1);
    assert_int_equal(test.sight, BALANCE_MISFIT);

    /* The same runs with a known weight fit well. */
    const struct balance_weight weight = {0.5, {2.4, 0}};
    count = worm_runs(&chain, 0.12, 0.5, 0.0005, samples);
    assert_null(balance_test_solve(&chain, samples, count, &weight, balance_asked(8), &test));
    assert_int_equal(test.sight, BALANCE_SEEN);
    assert_true(fabs(test.cosine_n_m.value - 20) <= 3 * test.cosine_n_m.error);
}

/* Scatter is no pattern, however large. */
static void scatter_is_no_pattern(void **state) {
    (void)state;
    struct chain chain = chain_with(0.5);
    struct balance_sample samples[MOST];
    struct balance_test test;
    size_t count = samples_of("T2", &chain, samples);
    assert_null(balance_test_solve(&chain, samples, count, &no_weight, balance_asked(6), &test));
    assert_true(test.pattern_n_m == 0);
    assert_int_equal(test.sight, BALANCE_SEEN);
}

/* Spur gears: 1/eta raising, eta where the leaf drives. */
static void gains_of_spur_gears_are_their_efficiency(void **state) {
    (void)state;
    struct chain chain = chain_with(0.5);
    chain.drive.planetary_efficiency = 0.9;
    struct balance_gains gains = balance_test_gains(&chain.drive, 0);
    assert_near(gains.up, 1 / 0.9, 1e-12);
    assert_near(gains.down, 0.9, 1e-12);
}

static void ramps_are_left_out(void **state) {
    (void)state;
    struct chain chain = chain_with(0.5);
    struct balance_sample samples[MOST];
    size_t count = samples_of("T1", &chain, samples);
    samples[0].speed_rad_s = 0.004;  /* starts */
    samples[16].speed_rad_s = 0.012; /* hurries */
    samples[1].speed_rad_s = 0;
    samples[3].speed_rad_s = -0.0102;
    assert_int_equal(balance_test_steady(&chain, samples, count), count - 3);
    assert_int_equal(balance_test_steady(&chain, samples, 0), 0);
}

static void samples_that_cannot_tell_are_refused(void **state) {
    (void)state;
    struct chain chain = chain_with(0.5);
    struct balance_sample samples[MOST];
    struct balance_test test = {.samples = 77};
    size_t count = samples_of("T1", &chain, samples);
    assert_non_null(balance_test_solve(&chain, samples, 0, &no_weight, balance_asked(10), &test));
    assert_non_null(balance_test_solve(&chain, samples, 5, &no_weight, balance_asked(10), &test));
    samples[4].current_a = NAN;
    assert_non_null(
        balance_test_solve(&chain, samples, count, &no_weight, balance_asked(10), &test));
    samples_of("T1", &chain, samples);
    chain.lift.kind = LIFT_VERTICAL;
    assert_non_null(
        balance_test_solve(&chain, samples, count, &no_weight, balance_asked(10), &test));
    chain.lift.kind = LIFT_SECTOR;
    for (size_t i = 0; i < count; i++) {
        samples[i].position_rad = 0.3;
    }
    assert_non_null(
        balance_test_solve(&chain, samples, count, &no_weight, balance_asked(10), &test));
    samples_of("T1", &chain, samples); /* a weight, and no run with it */
    const struct balance_weight weight = {0.5, {2.4, 0}};
    assert_non_null(balance_test_solve(&chain, samples, count, &weight, balance_asked(10), &test));
    assert_int_equal(test.samples, 77);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lossless_drive_gives_back_the_model),
        cmocka_unit_test(standard_errors_are_those_of_the_samples),
        cmocka_unit_test(a_motor_that_may_be_off_puts_the_moment_off),
        cmocka_unit_test(a_stuck_sensor_is_not_believed),
        cmocka_unit_test(known_weight_at_the_toe_needs_no_friction_coefficient),
        cmocka_unit_test(half_the_sum_is_wrong_behind_a_worm),
        cmocka_unit_test(leaf_lighter_than_its_friction_is_pushed_down),
        cmocka_unit_test(drive_that_cannot_see_the_imbalance_says_so),
        cmocka_unit_test(one_value_of_friction_is_not_known_exactly),
        cmocka_unit_test(fit_that_no_span_can_have_is_a_misfit),
        cmocka_unit_test(scatter_is_no_pattern),
        cmocka_unit_test(gains_of_spur_gears_are_their_efficiency),
        cmocka_unit_test(ramps_are_left_out),
        cmocka_unit_test(samples_that_cannot_tell_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
