/* Motor, gears and leaf against closed forms and against figures from outside. */
#include "io/simulated/world/sim_lift.h"
#include "support/check.h"
#include "support/io/sim_world.h"

#include <math.h>

static const double degree = 3.14159265358979323846 / 180;
static const double rpm = 2 * 3.14159265358979323846 / 60;
static const double step_s = 0.005;

static struct simulation_lift settings(void) {
    struct simulation_lift setup = sim_world_simulation().lift;
    setup.rotor_inertia_kg_m2 = 5e-6;
    setup.lift.travel = 80 * degree;
    return setup;
}

static struct sim_lift_drive powered(double volts) {
    return (struct sim_lift_drive){.volts = volts, .lowest = 0, .highest = 84 * degree};
}

static void run(const struct simulation_lift *setup, struct sim_lift *lift,
                const struct sim_lift_drive *drive, double time_s) {
    for (int i = 0; i < (int)lround(time_s / step_s); i++) {
        sim_lift_step(setup, lift, drive, step_s);
    }
}

static void assert_near(double value, double wanted, double part) {
    if (!(fabs(value - wanted) <= part * fabs(wanted))) {
        fail_msg("%.9g, wanted %.9g within %g", value, wanted, part);
    }
}

static void free_motor_turns_as_its_sheet_says(void **state) {
    (void)state;
    const struct simulation_lift setup = settings();
    struct sim_lift_drive drive = powered(12);
    drive.is_slipping = true;
    struct sim_lift lift = {.position = 0.5};
    run(&setup, &lift, &drive, 1);
    /* 16800 rpm and 1 A at 12 V: RS-540 sheet quoted at chiefdelphi.com/t/2007-motor-specs/75429 */
    assert_near(lift.motor_rad_s, 16800 * rpm, 1e-6);
    assert_near(sim_lift_current_a(&setup, &lift, &drive), 1, 1e-6);
    assert_true(lift.position == 0.5);
}

static void stalled_motor_takes_v_over_r(void **state) {
    (void)state;
    const struct simulation_lift setup = settings();
    struct sim_lift_drive drive = powered(12);
    drive.highest = 0;
    struct sim_lift lift = {0};
    run(&setup, &lift, &drive, 1);
    assert_true(lift.motor_rad_s == 0 && lift.position == 0);
    /* 42 A at 12 V: the same sheet; half of it at 6 V, as V/R */
    assert_near(sim_lift_current_a(&setup, &lift, &drive), 42, 1e-9);
    drive.volts = -6;
    assert_near(sim_lift_current_a(&setup, &lift, &drive), 21, 1e-9);
    drive.is_circuit_open = true;
    assert_true(sim_lift_current_a(&setup, &lift, &drive) == 0);
}

/* 7852.16094 rpm, which is the whole travel in 60 s, with the RS-540 (Kt taken as Ke), the worm at
 * mu 0.06 and 3.5 N.m of friction: torque chain and power balance both gave these (derived for this
 * project from B1's leaf and G2's strut; the motor's figures from the sheet above). */
static void steady_speed_and_current_follow_the_torque_chain(void **state) {
    (void)state;
    static const struct {
        double angle_deg, volts, current_a;
    } cases[] = {
        {0, 5.87153757, 1.38736966},  {20, 5.83802989, 1.27009281}, {40, 5.8070964, 1.1618256},
        {60, 5.77694329, 1.05628969}, {80, 5.76523659, 1.01531625},
    };
    struct simulation_lift setup = settings();
    setup.motor.kt_n_m_a = setup.motor.ke_v_s_rad;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const struct sim_lift_drive drive = powered(cases[i].volts);
        struct sim_lift lift = {.position = cases[i].angle_deg * degree};
        run(&setup, &lift, &drive, 0.4); /* over ten time constants, and half a degree on */
        assert_near(lift.motor_rad_s, 7852.16094 * rpm, 1e-3);
        assert_near(sim_lift_current_a(&setup, &lift, &drive), cases[i].current_a, 5e-3);
    }
}

static void travel_takes_the_time_the_gears_say(void **state) {
    (void)state;
    struct simulation_lift setup = settings();
    /* A motor that keeps its speed under any load: what is left is geometry. */
    setup.motor.resistance_ohm = 1e-4;
    const struct sim_lift_drive drive = powered(setup.motor.ke_v_s_rad * 7852.16094 * rpm);
    struct sim_lift lift = {0};
    double time_s = 0;
    for (; lift.position < 80 * degree && time_s < 100; time_s += step_s) {
        sim_lift_step(&setup, &lift, &drive, step_s);
    }
    /* 783.218243 mm of rack at 0.0997455668 mm a motor turn: 60 s (from the rack's pitch, D8) */
    assert_near(time_s, 60, 1e-3);
}

static void motor_speeds_up_by_its_time_constant(void **state) {
    (void)state;
    const struct simulation_lift setup = settings();
    const struct motor *motor = &setup.motor;
    struct sim_lift_drive drive = powered(12);
    drive.is_slipping = true;
    struct sim_lift lift = {0};
    double tau =
        setup.rotor_inertia_kg_m2 * motor->resistance_ohm / (motor->kt_n_m_a * motor->ke_v_s_rad);
    run(&setup, &lift, &drive, 0.03);
    /* w(t) = w0 (1 - exp(-t/tau)), first principles */
    assert_near(lift.motor_rad_s, 16800 * rpm * (1 - exp(-0.03 / tau)), 1e-6);
}

/* As long a step as anybody may ask for: it ends where short steps do, nowhere else. */
static void long_steps_stay_stable(void **state) {
    (void)state;
    const struct simulation_lift setup = settings();
    const struct sim_lift_drive drive = powered(6);
    struct sim_lift walked = {.position = 0.2}, leapt = walked;
    run(&setup, &walked, &drive, 10);
    sim_lift_step(&setup, &leapt, &drive, 10);
    assert_near(leapt.motor_rad_s, walked.motor_rad_s, 0.05);
    assert_near(leapt.position, walked.position, 0.1);
    sim_lift_step(&setup, &leapt, &drive, 1e5);
    assert_true(leapt.position == drive.highest && leapt.motor_rad_s == 0);
}

static void locking_worm_holds_without_power(void **state) {
    (void)state;
    const struct simulation_lift setup = settings();
    const struct sim_lift_drive drive = powered(0);
    for (int angle = 0; angle <= 80; angle += 5) {
        struct sim_lift lift = {.position = angle * degree};
        const double before = lift.position;
        assert_false(sim_lift_is_moving(&setup, &lift, &drive));
        run(&setup, &lift, &drive, 1);
        assert_true(lift.position == before);
    }
}

/* tan l = 0.05 and mu = 0.03 < 0.047: it does not lock (Carvill p. 99). Without the motor's own
 * friction, and with none of the trunnion's, the heavy leaf runs down and drives the motor. */
static void worm_that_does_not_lock_lets_the_leaf_down(void **state) {
    (void)state;
    struct simulation_lift setup = settings();
    setup.drive.worm.mu_low = 0.03;
    setup.drive.worm.mu_high = 0.03;
    setup.motor.no_load_a = 0;
    setup.friction_static = 0;
    setup.friction_running = 0;
    struct sim_lift_drive drive = powered(0);
    drive.is_circuit_open = true;
    struct sim_lift lift = {.position = 20 * degree};
    run(&setup, &lift, &drive, 1);
    assert_true(lift.motor_rad_s < 0);
    assert_true(lift.position < 20 * degree);

    setup.brake_torque_nm = 0.05;
    drive.is_braked = true;
    run(&setup, &lift, &drive, 1);
    assert_true(lift.motor_rad_s == 0);
}

static void stops_end_the_travel_both_ways(void **state) {
    (void)state;
    const struct simulation_lift setup = settings();
    struct sim_lift lift = {.position = 79 * degree};
    struct sim_lift_drive drive = powered(12);
    run(&setup, &lift, &drive, 10);
    assert_true(lift.position == drive.highest && lift.motor_rad_s == 0);
    assert_false(sim_lift_is_moving(&setup, &lift, &drive));
    drive.volts = -12;
    run(&setup, &lift, &drive, 60);
    assert_true(lift.position == 0 && lift.motor_rad_s == 0);
}

/* Switched off, the motor is short-circuited and brakes: how far it runs on does not depend on the
 * step in which it stops. */
static void run_out_is_the_same_in_any_step(void **state) {
    (void)state;
    const struct simulation_lift setup = settings();
    const struct sim_lift_drive drive = powered(0);
    for (int is_open = 0; is_open < 2; is_open++) {
        struct sim_lift_drive off = drive;
        off.is_circuit_open = is_open;
        struct sim_lift walked = {.position = 0.5, .motor_rad_s = 800}, leapt = walked;
        for (int i = 0; i < 20000; i++) {
            sim_lift_step(&setup, &walked, &off, 1e-4);
        }
        sim_lift_step(&setup, &leapt, &off, 2);
        assert_true(walked.motor_rad_s == 0 && leapt.motor_rad_s == 0);
        assert_true(walked.position > 0.5);
        assert_near(leapt.position - 0.5, walked.position - 0.5, 1e-3);
    }
}

/* Static friction: less than what breaks it away does not move the leaf. */
static void effort_below_breakaway_moves_nothing(void **state) {
    (void)state;
    struct simulation_lift setup = settings();
    setup.motor.kt_n_m_a = setup.motor.ke_v_s_rad;
    const struct motor *motor = &setup.motor;
    /* 1.38736966 A raises the leaf off its seat (as above): V = I R at rest */
    double breakaway_v = 1.38736966 * motor->resistance_ohm;
    struct sim_lift lift = {0};
    struct sim_lift_drive drive = powered(breakaway_v * 0.99);
    assert_false(sim_lift_is_moving(&setup, &lift, &drive));
    drive.volts = breakaway_v * 1.01;
    assert_true(sim_lift_is_moving(&setup, &lift, &drive));
    setup.friction_static = 7;
    assert_false(sim_lift_is_moving(&setup, &lift, &drive));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(free_motor_turns_as_its_sheet_says),
        cmocka_unit_test(stalled_motor_takes_v_over_r),
        cmocka_unit_test(steady_speed_and_current_follow_the_torque_chain),
        cmocka_unit_test(travel_takes_the_time_the_gears_say),
        cmocka_unit_test(motor_speeds_up_by_its_time_constant),
        cmocka_unit_test(long_steps_stay_stable),
        cmocka_unit_test(locking_worm_holds_without_power),
        cmocka_unit_test(worm_that_does_not_lock_lets_the_leaf_down),
        cmocka_unit_test(stops_end_the_travel_both_ways),
        cmocka_unit_test(run_out_is_the_same_in_any_step),
        cmocka_unit_test(effort_below_breakaway_moves_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
