#include "mechanics/balance/balance.h"
#include "mechanics/drive/drive.h"
#include "mechanics/drive/gear.h"
#include "mechanics/drive/motor.h"
#include "mechanics/lift/lift.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

static const double degree = NUMBER_PI / 180, turn = 2 * NUMBER_PI;
/* D7's worm, G2's strut, B1's leaf and D2's motor, as D9 takes them. */
static const struct drive good = {
    0.00635, 10, 0.85, true, {40, 0.0499583957, 0.34906585, 0.05, 0.06}, 0.95};

static void speeds(struct example *example) {
    struct drive drive = good;
    double module = 1 / example_in(example, "DP");
    drive.pinion_radius_m = gear_pitch_radius_m(example_in(example, "N_pinion"), module);
    drive.planetary_ratio = example_in(example, "planetary");
    drive.worm.ratio = example_in(example, "worm");
    assert_null(drive_check(&drive));
    assert_true(drive_ratio(&drive) == example_in(example, "ratio"));
    double motor[4], rack[4], pinion[4], travel = example_in(example, "travel");
    size_t count = example_in_list(example, "motor_rpm", motor, 4);
    for (size_t i = 0; i < count; i++) {
        rack[i] = motor[i] * drive_rack_per_motor_rad_m(&drive);
        pinion[i] = motor[i] / drive_ratio(&drive);
    }
    double motor_angle = travel / drive_rack_per_motor_rad_m(&drive);
    example_out(example, "rack_per_pinion_turn", drive.pinion_radius_m * turn);
    example_out(example, "rack_per_motor_turn", drive_rack_per_motor_rad_m(&drive) * turn);
    example_out_list(example, "rack_speed", rack, count);
    example_out_list(example, "pinion_rpm", pinion, count);
    example_out(example, "motor_turns_for_travel", motor_angle);
    example_out(example, "motor_rpm_needed",
                motor_angle / example_in(example, "time_constant_speed"));
    example_out(example, "time_at_3000rpm", travel / rack[1]);
}

static struct lift strut(void) {
    return (struct lift){
        .kind = LIFT_STRUT, .travel = 80 * degree, .strut = {{0.55, 0.3}, {-0.45, 0.85}, 0, 0, 0}};
}

static struct balance leaf(void) {
    static const struct balance_item items[] = {{14, {1.2, 0.02}, 0, 0},
                                                {16.5, {1.05, 0.3}, 0, 0},
                                                {1.2, {2.3, 0.05}, 0, 0},
                                                {4, {-0.2, 0.05}, 0, 0},
                                                {58, {-0.575, -0.07}, 0, 0}};
    struct balance balance;
    assert_null(balance_of_items(LIFT_STRUT, 0, items, 5, &balance));
    return balance;
}

static struct drive chain_in(struct example *example) {
    struct drive drive = good;
    drive.worm.lead_rad = atan(0.001 / 0.020);
    drive.worm.pressure_rad = 20 * degree;
    drive.worm.ratio = example_in(example, "ratio_worm");
    drive.rack_efficiency = example_in(example, "eta_rack");
    drive.planetary_ratio = example_in(example, "ratio_planetary");
    drive.planetary_efficiency = example_in(example, "eta_planetary");
    assert_true(fabs(worm_efficiency(&drive.worm, 0.06) - example_in(example, "eta_worm")) < 1e-9);
    assert_true(fabs(worm_back_efficiency(&drive.worm, 0.06) -
                     example_in(example, "eta_worm_back")) < 1e-9);
    return drive;
}

static void whole_chain(struct example *example) {
    struct drive drive = chain_in(example);
    struct lift lift = strut();
    struct balance balance = leaf();
    struct motor motor;
    assert_null(
        motor_from_sheet(&(struct motor_sheet){12, 16800 * turn / 60, 1, 0.2788, 42}, &motor));
    motor.kt_n_m_a = motor.ke_v_s_rad;
    double friction = example_in(example, "T_friction_trunnion");
    double speed = example_in(example, "motor_rpm");
    double theta[5], total[5], force[5], pinion[5], torque[5], current[5], voltage[5];
    size_t count = example_in_list(example, "theta", theta, 5);
    for (size_t i = 0; i < count; i++) {
        double moment = balance_moment(&balance, theta[i]);
        total[i] = moment + friction;
        force[i] = drive_rack_force_n(moment, friction, 0, lift_rack_arm(&lift, theta[i]));
        pinion[i] = drive_pinion_torque_n_m(&drive, force[i]);
        torque[i] = drive_motor_torque_n_m(&drive, force[i], 0.06);
        current[i] = motor_current_a(&motor, torque[i]);
        voltage[i] = motor_voltage_v(&motor, torque[i], speed);
    }
    example_out_list(example, "T_leaf", total, count);
    example_out_list(example, "F_rack", force, count);
    example_out_list(example, "T_pinion", pinion, count);
    example_out_list(example, "T_motor", torque, count);
    example_out_list(example, "I_motor", current, count);
    example_out_list(example, "V_motor", voltage, count);
}

static void seen_from_the_motor(struct example *example) {
    struct drive drive = {.pinion_radius_m = example_in(example, "r_pinion"),
                          .planetary_ratio = example_in(example, "N")};
    double arm = lift_rack_arm(&(struct lift){.kind = LIFT_STRUT, .strut = strut().strut}, 0);
    assert_true(fabs(arm - example_in(example, "h_at_0")) < 1e-9);
    double rate = drive_motor_per_position(&drive, arm);
    example_out(example, "dmotor_dtheta", rate);
    example_out(example, "motor_turns_per_leaf_degree", rate);
    example_out(example, "I_leaf_seen_at_motor", example_in(example, "I_leaf") / (rate * rate));
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {
        {"D8", speeds}, {"D9", whole_chain}, {"D13", seen_from_the_motor}};
    examples_run("drive", tests, 3);
}

/* Without friction anywhere power is neither lost nor won, either way. */
static void without_losses_power_is_kept(void **state) {
    (void)state;
    struct drive drive = good;
    drive.planetary_efficiency = drive.rack_efficiency = 1;
    for (double force = -50; force <= 50; force += 25) {
        double expected = force * drive.pinion_radius_m / 400;
        assert_true(fabs(drive_motor_torque_n_m(&drive, force, 0) - expected) < 1e-15);
    }
}

/* Derived: 10 N x 6.35 mm x 0.95 (rack) x 0.85 (planetary) / 10, braking. */
static void span_that_runs_ahead_is_braked_without_a_worm(void **state) {
    (void)state;
    struct drive drive = good;
    drive.has_worm = false;
    double torque = drive_motor_torque_n_m(&drive, -10, 0.06);
    assert_true(fabs(torque + 10 * 0.00635 * 0.95 * 0.85 / 10) < 1e-15);
    assert_false(drive_is_locking(&drive));
    drive.has_worm = true;
    assert_true(drive_motor_torque_n_m(&drive, -10, 0.06) > 0); /* locked: driven down */
    assert_true(drive_motor_torque_n_m(&drive, -10, 0.03) < 0); /* slips: braked */
    assert_true(drive_is_locking(&drive));
    drive.worm.mu_low = 0.03;
    assert_false(drive_is_locking(&drive));
}

static void rack_force_carries_moment_friction_and_inertia(void **state) {
    (void)state;
    assert_true(drive_rack_force_n(1, 2, 3, 0.5) == 12);
}

static const char *check(const void *what) {
    return drive_check(what);
}

static void bad_drives_are_refused(void **state) {
    (void)state;
    struct drive drive = good;
    bad_numbers_refused(&drive.pinion_radius_m, NOT_ABOVE_ZERO, check, &drive);
    bad_numbers_refused(&drive.planetary_ratio, NOT_ABOVE_ZERO, check, &drive);
    bad_numbers_refused(&drive.planetary_efficiency, NOT_ABOVE_ZERO, check, &drive);
    bad_numbers_refused(&drive.rack_efficiency, NOT_ABOVE_ZERO, check, &drive);
    bad_numbers_refused(&drive.worm.ratio, NOT_ABOVE_ZERO, check, &drive);
    drive.rack_efficiency = 1.01;
    bad_numbers_said(drive_check(&drive), "rack's efficiency");
    drive = good;
    drive.planetary_efficiency = 1.01;
    bad_numbers_said(drive_check(&drive), "planetary efficiency");
    drive = good;
    drive.has_worm = false;
    drive.worm.ratio = NAN; /* nobody looks at a worm that is not there */
    assert_null(drive_check(&drive));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(without_losses_power_is_kept),
        cmocka_unit_test(span_that_runs_ahead_is_braked_without_a_worm),
        cmocka_unit_test(rack_force_carries_moment_friction_and_inertia),
        cmocka_unit_test(bad_drives_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
