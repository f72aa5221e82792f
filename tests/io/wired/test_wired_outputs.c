/* In what order the terminals are written, what safe() and a crash leave, and how a lost controller
 * comes back. */
#include "io/wired/wired.h"
#include "io/wired/wired_outputs.h"
#include "support/check.h"
#include "support/daemon/tree.h"
#include "support/io/controller.h"
#include "support/io/fake_gpio.h"
#include "support/io/wired_stage.h"

#include <event2/event.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PERIOD_NS = 50000 };

struct pulses {
    struct wired_stage stage;
    struct tree tree;
    unsigned checked; /* writes of a pin */
};

static void add_channel(struct pulses *pulses, struct wired_pwm *pwm, unsigned channel) {
    static const char *const files[] = {"period", "duty_cycle", "enable"};
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
        char name[32];
        snprintf(name, sizeof name, "pwm%u/%s", channel, files[i]);
        tree_put(&pulses->tree, name, "0\n");
    }
    *pwm = (struct wired_pwm){.channel = channel, .period_ns = PERIOD_NS};
    snprintf(pwm->chip, sizeof pwm->chip, "%s", pulses->tree.root);
}

static void prepare(struct pulses *pulses, enum wired_motor_kind kind) {
    pulses->checked = 0;
    tree_make(&pulses->tree);
    wired_stage_prepare(&pulses->stage);
    struct wired_motor *motor = &pulses->stage.setup.motor;
    *motor = (struct wired_motor){.kind = kind, .enable = pin_at(0, PIN_ENABLE)};
    add_channel(pulses, &motor->pwm[0], 0);
    if (kind == WIRED_MOTOR_TWO_WIRE) {
        add_channel(pulses, &motor->pwm[1], 1);
    } else {
        motor->pin[0] = pin_at(0, PIN_RAISE);
    }
}

static void end(struct pulses *pulses) {
    fake_gpio.wrote = NULL;
    wired_stage_end(&pulses->stage);
    tree_remove(&pulses->tree);
}

static void drive(struct pulses *pulses, double effort, uint64_t now_us) {
    pulses->stage.outputs.lift_effort = effort;
    wired_stage_act(&pulses->stage, now_us);
}

static long duty_ns(const struct pulses *pulses, unsigned channel) {
    char name[32], text[32];
    snprintf(name, sizeof name, "pwm%u/duty_cycle", channel);
    tree_get(&pulses->tree, name, text, sizeof text);
    return strtol(text, NULL, 10);
}

/* A two-wire motor, and a lock servo on the third channel. */
static void open_with_lock(struct pulses *pulses) {
    prepare(pulses, WIRED_MOTOR_TWO_WIRE);
    pulses->stage.setup.lock = (struct wired_lock){.driven_ns = 19000, .withdrawn_ns = 11000};
    add_channel(pulses, &pulses->stage.setup.lock.pwm, 2);
    wired_stage_open(&pulses->stage);
}

static void assert_all_rest(const struct pulses *pulses) {
    for (unsigned channel = 0; channel < 3; channel++) {
        assert_int_equal(duty_ns(pulses, channel), 0);
    }
}

/* ---- safe */

static void s7_safe_rests_both_ways_of_a_two_wire_motor(void **state) {
    (void)state;
    struct pulses pulses;
    prepare(&pulses, WIRED_MOTOR_TWO_WIRE);
    wired_stage_open(&pulses.stage);
    for (int way = 1; way >= -1; way -= 2) {
        drive(&pulses, way * 0.5, 0);
        assert_int_equal(duty_ns(&pulses, way > 0 ? 0 : 1), PERIOD_NS / 2);
        assert_int_equal(duty_ns(&pulses, way > 0 ? 1 : 0), 0);
        assert_true(fake_gpio_level(0, PIN_ENABLE));
        assert_true(wired_ops.safe(pulses.stage.port));
        assert_int_equal(duty_ns(&pulses, 0), 0);
        assert_int_equal(duty_ns(&pulses, 1), 0);
        assert_false(fake_gpio_level(0, PIN_ENABLE));
    }
    end(&pulses);
}

/* Somebody else wrote to them, and this program believes them at rest. */
static void s7_safe_writes_what_it_believes_to_be_safe(void **state) {
    (void)state;
    struct pulses pulses;
    open_with_lock(&pulses);
    wired_stage_act(&pulses.stage, 0);
    for (unsigned channel = 0; channel < 3; channel++) {
        char name[32];
        snprintf(name, sizeof name, "pwm%u/duty_cycle", channel);
        tree_put(&pulses.tree, name, "30000\n");
    }
    fake_gpio.line[0][PIN_ENABLE].level = fake_gpio.line[0][PIN_BRAKE].level = true;
    fake_gpio.line[0][PIN_SIGNAL].level = false; /* active low */
    assert_true(wired_ops.safe(pulses.stage.port));
    assert_all_rest(&pulses);
    assert_false(fake_gpio_level(0, PIN_ENABLE) || fake_gpio_level(0, PIN_BRAKE));
    assert_true(fake_gpio_level(0, PIN_SIGNAL));
    end(&pulses);
}

static void s7_safe_says_what_could_not_be_written_and_writes_the_rest(void **state) {
    (void)state;
    struct pulses pulses;
    prepare(&pulses, WIRED_MOTOR_TWO_WIRE);
    wired_stage_open(&pulses.stage);
    drive(&pulses, -0.5, 0);
    tree_drop(&pulses.tree, "pwm0/duty_cycle");
    assert_false(wired_ops.safe(pulses.stage.port));
    assert_int_equal(duty_ns(&pulses, 1), 0);
    assert_false(fake_gpio_level(0, PIN_ENABLE));
    fake_gpio.cannot_write[1] = true; /* of a pin alone */
    tree_put(&pulses.tree, "pwm0/duty_cycle", "0\n");
    assert_false(wired_ops.safe(pulses.stage.port));
    fake_gpio.cannot_write[1] = false;
    assert_true(wired_ops.safe(pulses.stage.port));
    end(&pulses);
}

static void crash_rests_everything_that_is_written(void **state) {
    (void)state;
    struct pulses pulses;
    open_with_lock(&pulses);
    struct bridge_outputs *outputs = &pulses.stage.outputs;
    outputs->lock = LOCK_DRIVE_WITHDRAWN;
    outputs->brake_released = outputs->track[0].span_power = true;
    outputs->track[0].end[0].signal_proceed = true;
    drive(&pulses, -1, 0);
    assert_int_equal(duty_ns(&pulses, 1), PERIOD_NS);
    assert_int_equal(duty_ns(&pulses, 2), 11000);
    assert_true(fake_gpio_level(0, PIN_BRAKE) && fake_gpio_level(1, PIN_POWER));
    assert_false(fake_gpio_level(0, PIN_SIGNAL)); /* active low */
    wired_ops.crash_safe(pulses.stage.port);
    assert_all_rest(&pulses);
    assert_false(fake_gpio_level(0, PIN_BRAKE) || fake_gpio_level(1, PIN_POWER) ||
                 fake_gpio_level(0, PIN_ENABLE) || fake_gpio_level(0, PIN_LOCK_WITHDRAW));
    assert_true(fake_gpio_level(0, PIN_SIGNAL));
    end(&pulses);
}

/* A speed controller rests at its neutral pulse, not without one. */
static void safe_and_crash_leave_a_speed_controller_at_neutral(void **state) {
    (void)state;
    struct pulses pulses;
    prepare(&pulses, WIRED_MOTOR_PULSE);
    struct wired_motor *motor = &pulses.stage.setup.motor;
    motor->neutral_ns = 15000;
    motor->raise_ns = 20000;
    motor->lower_ns = 10000;
    wired_stage_open(&pulses.stage);
    assert_int_equal(duty_ns(&pulses, 0), 15000);
    drive(&pulses, 1, 0);
    assert_int_equal(duty_ns(&pulses, 0), 20000);
    assert_true(wired_ops.safe(pulses.stage.port));
    assert_int_equal(duty_ns(&pulses, 0), 15000);
    drive(&pulses, -1, 1);
    assert_int_equal(duty_ns(&pulses, 0), 10000);
    wired_ops.crash_safe(pulses.stage.port);
    assert_int_equal(duty_ns(&pulses, 0), 15000);
    end(&pulses);
}

static void s7_outputs_stay_lost_until_everything_could_be_written(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    wired_stage_open(&stage);
    stage.outputs.track[0].span_power = true;
    fake_gpio.cannot_write[1] = true;
    wired_stage_cycle(&stage, 1);
    for (unsigned retry = 1; retry <= 3; retry++) {
        assert_true(wired_ops.wake_us(stage.port) <= WIRED_RETRY_US);
        wired_stage_cycle(&stage, 1 + retry * (uint64_t)WIRED_RETRY_US);
        wired_stage_sense(&stage, 1 + retry * (uint64_t)WIRED_RETRY_US);
        assert_true(stage.inputs.is_device_lost);
    }
    fake_gpio.cannot_write[1] = false;
    wired_stage_cycle(&stage, 1 + 4 * (uint64_t)WIRED_RETRY_US);
    wired_stage_sense(&stage, 1 + 4 * (uint64_t)WIRED_RETRY_US);
    assert_false(stage.inputs.is_device_lost);
    wired_stage_end(&stage);
}

/* Nothing drives the motor then, whatever the core wants: a current that stands is no fault of the
 * sensor. */
static void sensors_hear_of_no_drive_while_the_outputs_are_lost(void **state) {
    (void)state;
    struct wired_stage stage;
    struct tree tree;
    tree_make(&tree);
    wired_stage_prepare(&stage);
    stage.setup.motor.dead_us = 0;
    wired_stage_add_current(&stage, &tree);
    wired_stage_open(&stage);
    stage.outputs.lift_effort = 1;
    wired_stage_cycle(&stage, 0);
    fake_gpio.cannot_write[0] = true;
    stage.outputs.horn = stage.outputs.brake_released = true;
    for (unsigned i = 1; i < 50; i++) {
        wired_stage_cycle(&stage, i * UINT64_C(100000));
    }
    assert_true(stage.inputs.is_device_lost && stage.inputs.current_a == 1.2);
    fake_gpio.cannot_write[0] = false;
    wired_stage_end(&stage);
    tree_remove(&tree);
}

/* ---- order within one step */

static void what_goes_off_is_off_before_the_motor_drives(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    stage.setup.heartbeat.pin.is_used = false;
    stage.setup.motor.dead_us = 0;
    wired_stage_open(&stage);
    stage.outputs.track[0].span_power = stage.outputs.track[0].end[0].signal_proceed = true;
    stage.outputs.lock = LOCK_DRIVE_DRIVEN;
    wired_stage_act(&stage, 0);
    fake_gpio.log[0] = '\0';
    stage.outputs = (struct bridge_outputs){.lift_effort = 1, .brake_released = true};
    wired_stage_act(&stage, 1);
    /* Signal (active low), lock, track power; then motor and its enable; then the brake. */
    assert_string_equal(fake_gpio.log, "0:10=1 0:11=0 1:2=0 0:15=1 0:17=1 0:13=1 ");
    fake_gpio.log[0] = '\0';
    stage.outputs = (struct bridge_outputs){.track[0].span_power = true};
    wired_stage_act(&stage, 2);
    /* The brake holds before the motor lets go. */
    assert_string_equal(fake_gpio.log, "0:13=0 0:15=0 0:17=0 1:2=1 ");
    wired_stage_end(&stage);
}

/* Called at each write of a pin of the motor: there are no pulses then. */
static void expect_no_pulses(void *context, unsigned line, bool level) {
    struct pulses *pulses = context;
    (void)level;
    if (line == PIN_RAISE || line == PIN_ENABLE) {
        pulses->checked++;
        if (duty_ns(pulses, 0) != 0) {
            fail_msg("pin %u is switched under pulses of %ld ns", line, duty_ns(pulses, 0));
        }
    }
}

/* Without a dead time, so that one step turns the motor. */
static void motor_is_switched_and_turned_without_pulses(void **state) {
    (void)state;
    struct pulses pulses;
    prepare(&pulses, WIRED_MOTOR_PHASE);
    wired_stage_open(&pulses.stage);
    fake_gpio.wrote = expect_no_pulses;
    fake_gpio.context = &pulses;
    drive(&pulses, 0.5, 0);
    assert_int_equal(pulses.checked, 2); /* enable and direction */
    assert_int_equal(duty_ns(&pulses, 0), PERIOD_NS / 2);
    drive(&pulses, -0.5, 1);
    assert_int_equal(pulses.checked, 3);
    assert_int_equal(duty_ns(&pulses, 0), PERIOD_NS / 2);
    drive(&pulses, 1, 2);
    assert_int_equal(pulses.checked, 4);
    assert_int_equal(duty_ns(&pulses, 0), PERIOD_NS);
    drive(&pulses, 0, 3);
    assert_int_equal(pulses.checked, 5); /* enable alone */
    end(&pulses);
}

/* The two ways of a two-wire motor are never on at once: seen at the moment that one is written. */
static void two_wire_motor_is_turned_with_one_way_off(void **state) {
    (void)state;
    struct pulses pulses;
    char names[128];
    prepare(&pulses, WIRED_MOTOR_TWO_WIRE);
    wired_stage_open(&pulses.stage);
    drive(&pulses, -0.5, 0);
    tree_watch(&pulses.tree, "pwm1");
    drive(&pulses, 0.5, 1);
    tree_written(&pulses.tree, names, sizeof names);
    assert_string_equal(names, "duty_cycle ");
    assert_int_equal(duty_ns(&pulses, 1), 0);
    assert_int_equal(duty_ns(&pulses, 0), PERIOD_NS / 2);
    /* What comes first goes off: while that fails, the other way gets nothing. */
    drive(&pulses, -0.5, 2);
    tree_drop(&pulses.tree, "pwm1/duty_cycle");
    drive(&pulses, 0.5, 3);
    assert_int_equal(duty_ns(&pulses, 0), 0);
    wired_stage_sense(&pulses.stage, 3);
    assert_true(pulses.stage.inputs.is_device_lost);
    end(&pulses);
}

/* ---- the encoder's zero */

static void count(struct wired_stage *stage, unsigned edges) {
    for (unsigned i = 0; i < edges; i++) {
        unsigned pin = i % 2 == 0 ? PIN_A : PIN_B;
        fake_gpio_set(0, pin, !fake_gpio_level(0, pin));
    }
    wired_stage_turn(stage);
}

static void contact(struct wired_stage *stage, unsigned pin, bool level, uint64_t now_us) {
    fake_gpio_set(0, pin, level);
    wired_stage_turn(stage);
    wired_stage_sense(stage, now_us);
    wired_stage_sense(stage, now_us); /* an edge was glimpsed */
}

static void open_with_encoder(struct wired_stage *stage) {
    wired_stage_prepare(stage);
    stage->setup.motor.dead_us = 0;
    stage->setup.position = (struct wired_sensor){
        .kind = WIRED_SENSOR_ENCODER, .pin = {pin_at(0, PIN_A), pin_at(0, PIN_B)}, .counts = 8};
    wired_stage_open(stage);
}

static void encoder_is_not_zeroed_while_driven(void **state) {
    (void)state;
    struct wired_stage stage;
    open_with_encoder(&stage);
    stage.outputs.lift_effort = -1;
    wired_stage_cycle(&stage, 0);
    contact(&stage, PIN_SEATED, false, 1);
    assert_true(isnan(stage.inputs.position_frac)); /* not even where it is not known */
    stage.outputs.lift_effort = 0;
    wired_stage_cycle(&stage, 2);
    wired_stage_sense(&stage, 2);
    assert_true(stage.inputs.position_frac == 0);
    stage.outputs.lift_effort = 1;
    wired_stage_act(&stage, 3);
    count(&stage, 2); /* on its way, and the contact still made */
    wired_stage_sense(&stage, 4);
    assert_true(stage.inputs.position_frac == 2.0 / 8);
    stage.outputs.lift_effort = 0;
    wired_stage_act(&stage, 5);
    wired_stage_sense(&stage, 5);
    assert_true(stage.inputs.position_frac == 0);
    wired_stage_end(&stage);
}

/* The open contact makes before the travel ends: it is the worse place. */
static void encoder_is_set_at_open_only_where_it_is_not_known(void **state) {
    (void)state;
    struct wired_stage stage;
    open_with_encoder(&stage);
    stage.outputs.lift_effort = 1;
    wired_stage_cycle(&stage, 0);
    contact(&stage, PIN_OPEN, true, 1);
    assert_true(isnan(stage.inputs.position_frac));
    stage.outputs.lift_effort = 0;
    wired_stage_cycle(&stage, 2);
    wired_stage_sense(&stage, 2);
    assert_true(stage.inputs.position_frac == 1);
    for (unsigned i = 0; i < 3; i++) { /* backwards: B leads */
        unsigned pin = i % 2 == 0 ? PIN_B : PIN_A;
        fake_gpio_set(0, pin, !fake_gpio_level(0, pin));
    }
    wired_stage_turn(&stage);
    wired_stage_sense(&stage, 3);
    assert_true(stage.inputs.position_frac == 5.0 / 8);
    wired_stage_end(&stage);
}

/* ---- a lost motor controller */

/* What the controller did reaches the loop when the kernel has passed it on. */
static void wait_for_change(struct wired_stage *stage, unsigned before) {
    while (stage->changes == before) {
        event_base_loop(stage->base, EVLOOP_ONCE);
    }
}

static void answer(struct wired_stage *stage, const struct controller *controller) {
    unsigned before = stage->changes;
    controller_say(controller, "ok\r");
    wait_for_change(stage, before);
}

static void lost_controller_is_believed_when_it_has_answered_its_greeting(void **state) {
    (void)state;
    struct wired_stage stage;
    struct controller controller;
    controller_start(&controller);
    wired_stage_prepare(&stage);
    stage.setup.motor = (struct wired_motor){.kind = WIRED_MOTOR_SERIAL,
                                             .serial = {.baud = 9600,
                                                        .full = 100,
                                                        .greetings = 1,
                                                        .greeting = {"hello\r"},
                                                        .drive = "go {effort}\r",
                                                        .stop = "stop\r",
                                                        .reply = "ok",
                                                        .reply_us = 50000}};
    snprintf(stage.setup.motor.serial.device, sizeof stage.setup.motor.serial.device, "%s",
             controller.device);
    wired_stage_open(&stage);
    stage.outputs.track[0].end[0].signal_proceed = true;
    wired_stage_cycle(&stage, 0);
    controller_hear(&controller, "stop\rstop\r");
    unsigned before = stage.changes;
    controller_unplug(&controller);
    wait_for_change(&stage, before);
    wired_stage_cycle(&stage, 1);
    assert_true(fake_gpio_level(0, PIN_SIGNAL)); /* at stop */
    controller_plug_in(&controller);
    wired_stage_cycle(&stage, WIRED_RETRY_US);
    assert_true(controller_is_silent(&controller)); /* not yet */
    wired_stage_cycle(&stage, 1 + WIRED_RETRY_US);
    controller_hear(&controller, "stop\rstop\r");
    for (unsigned i = 0; i < 10; i++) { /* it takes what it is sent, and says nothing */
        wired_stage_cycle(&stage, 2 + WIRED_RETRY_US);
        assert_true(stage.inputs.is_device_lost);
    }
    assert_in_range(wired_ops.wake_us(stage.port), 1000, 50000); /* not at once */
    wired_stage_cycle(&stage, 2 * WIRED_RETRY_US); /* too late for a reply: lost once more */
    wired_stage_cycle(&stage, 2 * WIRED_RETRY_US + 1);
    answer(&stage, &controller);
    wired_stage_cycle(&stage, 2 * WIRED_RETRY_US + 2);
    controller_hear(&controller, "hello\r");
    wired_stage_cycle(&stage, 2 * WIRED_RETRY_US + 3);
    assert_true(stage.inputs.is_device_lost && fake_gpio_level(0, PIN_SIGNAL));
    answer(&stage, &controller);
    wired_stage_cycle(&stage, 2 * WIRED_RETRY_US + 4);
    wired_stage_cycle(&stage, 2 * WIRED_RETRY_US + 5);
    assert_false(stage.inputs.is_device_lost || fake_gpio_level(0, PIN_SIGNAL));
    wired_stage_end(&stage);
    controller_stop(&controller);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(s7_safe_rests_both_ways_of_a_two_wire_motor),
        cmocka_unit_test(s7_safe_writes_what_it_believes_to_be_safe),
        cmocka_unit_test(s7_safe_says_what_could_not_be_written_and_writes_the_rest),
        cmocka_unit_test(s7_outputs_stay_lost_until_everything_could_be_written),
        cmocka_unit_test(sensors_hear_of_no_drive_while_the_outputs_are_lost),
        cmocka_unit_test(crash_rests_everything_that_is_written),
        cmocka_unit_test(safe_and_crash_leave_a_speed_controller_at_neutral),
        cmocka_unit_test(what_goes_off_is_off_before_the_motor_drives),
        cmocka_unit_test(motor_is_switched_and_turned_without_pulses),
        cmocka_unit_test(two_wire_motor_is_turned_with_one_way_off),
        cmocka_unit_test(encoder_is_not_zeroed_while_driven),
        cmocka_unit_test(encoder_is_set_at_open_only_where_it_is_not_known),
        cmocka_unit_test(lost_controller_is_believed_when_it_has_answered_its_greeting),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
