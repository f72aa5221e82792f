#include "io/wired/motor.h"
#include "support/check.h"

#include <math.h>

enum { DEAD_US = 100000, ARMING_US = 2000000 };

static struct wired_motor setup_of(enum wired_motor_kind kind) {
    return (struct wired_motor){
        .kind = kind,
        .pwm = {{.period_ns = kind == WIRED_MOTOR_PULSE ? 20000000 : 50000}, {.period_ns = 50000}},
        .dead_us = DEAD_US,
        .arming_us = ARMING_US,
        /* 1.0 to 2.0 ms at 50 Hz, neutral 1.5 ms: common practice, no standard behind it */
        .neutral_ns = 1500000,
        .raise_ns = 2000000,
        .lower_ns = 1000000,
        .least_effort = 0.1,
    };
}

/* Long after the start. */
static struct motor ready(void) {
    struct motor motor;
    motor_start(&motor, 0);
    return motor;
}

enum { LATER_US = 10000000 };

static void two_wires_are_never_both_driven(void **state) {
    (void)state;
    struct wired_motor setup = setup_of(WIRED_MOTOR_TWO_WIRE);
    struct motor motor = ready();
    struct motor_terminals out = motor_step(&motor, &setup, 0.5, LATER_US);
    assert_int_equal(out.pulse_ns[0], 25000);
    assert_int_equal(out.pulse_ns[1], 0);
    assert_true(out.enable);
    out = motor_step(&motor, &setup, -1, LATER_US);
    assert_int_equal(out.pulse_ns[0] + out.pulse_ns[1], 0); /* dead time */
    out = motor_step(&motor, &setup, -1, LATER_US + DEAD_US);
    assert_int_equal(out.pulse_ns[0], 0);
    assert_int_equal(out.pulse_ns[1], 50000);
}

static void phase_turns_only_at_rest(void **state) {
    (void)state;
    struct wired_motor setup = setup_of(WIRED_MOTOR_PHASE);
    struct motor motor = ready();
    struct motor_terminals out = motor_step(&motor, &setup, 0.2, LATER_US);
    assert_int_equal(out.pulse_ns[0], 10000);
    assert_true(out.pin[0]);
    out = motor_step(&motor, &setup, -0.2, LATER_US);
    assert_int_equal(out.pulse_ns[0], 0);
    assert_true(out.pin[0]); /* still */
    out = motor_step(&motor, &setup, -0.2, LATER_US + DEAD_US);
    assert_int_equal(out.pulse_ns[0], 10000);
    assert_false(out.pin[0]);
}

static void pulses_lie_between_their_ends(void **state) {
    (void)state;
    static const struct {
        double effort;
        uint32_t ns;
    } cases[] = {{0, 1500000},    {1, 2000000}, {-1, 1000000}, {0.5, 1750000},
                 {-0.1, 1450000}, {7, 2000000}, {-7, 1000000}, {NAN, 1500000}};
    struct wired_motor setup = setup_of(WIRED_MOTOR_PULSE);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct motor motor = ready();
        struct motor_terminals out = motor_step(&motor, &setup, cases[i].effort, LATER_US);
        assert_int_equal(out.pulse_ns[0], cases[i].ns);
    }
}

static void speed_controller_is_armed_at_neutral_first(void **state) {
    (void)state;
    struct wired_motor setup = setup_of(WIRED_MOTOR_PULSE);
    struct motor motor = ready();
    struct motor_terminals out = motor_step(&motor, &setup, 1, ARMING_US - 1);
    assert_int_equal(out.pulse_ns[0], 1500000);
    assert_true(out.enable);
    assert_int_equal(motor_wake_us(&motor, &setup, 1, ARMING_US - 1), 1);
    out = motor_step(&motor, &setup, 1, ARMING_US);
    assert_int_equal(out.pulse_ns[0], 2000000);
}

static void relays_rest_before_they_turn(void **state) {
    (void)state;
    struct wired_motor setup = setup_of(WIRED_MOTOR_RELAYS);
    struct motor motor = ready();
    struct motor_terminals out = motor_step(&motor, &setup, 0.3, LATER_US);
    assert_true(out.pin[0] && !out.pin[1] && out.enable);
    out = motor_step(&motor, &setup, -0.3, LATER_US + 5);
    assert_false(out.pin[0] || out.pin[1] || out.enable);
    assert_int_equal(motor_wake_us(&motor, &setup, -0.3, LATER_US + 5), DEAD_US);
    out = motor_step(&motor, &setup, -0.3, LATER_US + 5 + DEAD_US - 1);
    assert_false(out.pin[0] || out.pin[1]);
    out = motor_step(&motor, &setup, -0.3, LATER_US + 5 + DEAD_US);
    assert_true(!out.pin[0] && out.pin[1]);
}

static void relays_ignore_too_little_effort(void **state) {
    (void)state;
    struct wired_motor setup = setup_of(WIRED_MOTOR_RELAYS);
    struct motor motor = ready();
    struct motor_terminals out = motor_step(&motor, &setup, 0.09, LATER_US);
    assert_false(out.pin[0] || out.pin[1]);
    assert_int_equal(motor_wake_us(&motor, &setup, 0.09, LATER_US), UINT32_MAX);
}

static void same_direction_needs_no_dead_time(void **state) {
    (void)state;
    struct wired_motor setup = setup_of(WIRED_MOTOR_TWO_WIRE);
    struct motor motor = ready();
    motor_step(&motor, &setup, 0.5, LATER_US);
    motor_step(&motor, &setup, 0, LATER_US + 10);
    struct motor_terminals out = motor_step(&motor, &setup, 0.5, LATER_US + 20);
    assert_int_equal(out.pulse_ns[0], 25000);
}

/* Whoever ran before may have driven it. */
static void first_drive_waits_for_the_dead_time(void **state) {
    (void)state;
    struct wired_motor setup = setup_of(WIRED_MOTOR_TWO_WIRE);
    struct motor motor = ready();
    struct motor_terminals out = motor_step(&motor, &setup, 0.5, DEAD_US - 1);
    assert_int_equal(out.pulse_ns[0], 0);
    out = motor_step(&motor, &setup, 0.5, DEAD_US);
    assert_int_equal(out.pulse_ns[0], 25000);
}

static void safe_is_rest(void **state) {
    (void)state;
    for (int kind = WIRED_MOTOR_NONE; kind <= WIRED_MOTOR_SERIAL; kind++) {
        struct wired_motor setup = setup_of((enum wired_motor_kind)kind);
        struct motor_terminals out = motor_safe(&setup);
        assert_int_equal(out.pulse_ns[0], kind == WIRED_MOTOR_PULSE ? 1500000 : 0);
        assert_int_equal(out.pulse_ns[1], 0);
        assert_false(out.pin[0] || out.pin[1] || out.enable);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_wires_are_never_both_driven),
        cmocka_unit_test(phase_turns_only_at_rest),
        cmocka_unit_test(pulses_lie_between_their_ends),
        cmocka_unit_test(speed_controller_is_armed_at_neutral_first),
        cmocka_unit_test(relays_rest_before_they_turn),
        cmocka_unit_test(relays_ignore_too_little_effort),
        cmocka_unit_test(same_direction_needs_no_dead_time),
        cmocka_unit_test(first_drive_waits_for_the_dead_time),
        cmocka_unit_test(safe_is_rest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
