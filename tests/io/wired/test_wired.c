/* The driver "wired" on GPIO chips of the test's own, and files in place of sysfs. */
#include "io/wired/wired.h"
#include "io/wired/wired_outputs.h"
#include "support/check.h"
#include "support/daemon/tree.h"
#include "support/io/fake_gpio.h"
#include "support/io/wired_stage.h"

#include <event2/event.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

/* Stands in for libevent's (the linker's --wrap): an epoll of the kernel may be full. */
static bool cannot_watch;
int __real_event_add(struct event *event, const struct timeval *timeout);
int __wrap_event_add(struct event *event, const struct timeval *timeout);

int __wrap_event_add(struct event *event, const struct timeval *timeout) {
    return cannot_watch ? -1 : __real_event_add(event, timeout);
}

/* ---- inputs */

static void polarity_and_pull_are_those_of_the_setup(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    wired_stage_open(&stage);
    wired_stage_sense(&stage, 0);
    assert_int_equal(stage.inputs.seated, LEVEL_OFF); /* pulled up: a broken wire */
    assert_int_equal(stage.inputs.open, LEVEL_OFF);
    fake_gpio_set(0, PIN_SEATED, false);
    fake_gpio_set(0, PIN_OPEN, true);
    wired_stage_sense(&stage, 1);
    assert_int_equal(stage.inputs.seated, LEVEL_ON);
    assert_int_equal(stage.inputs.open, LEVEL_ON);
    assert_int_equal(fake_gpio.line[0][PIN_SEATED].pull, WIRED_PULL_UP);
    assert_int_equal(fake_gpio.line[0][PIN_OPEN].pull, WIRED_PULL_AS_IS);
    wired_stage_end(&stage);
}

static void edge_calls_the_cycle(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    wired_stage_open(&stage);
    wired_stage_sense(&stage, 0);
    wired_stage_turn(&stage);
    assert_int_equal(stage.changes, 0);
    fake_gpio_set(0, PIN_OPEN, true);
    wired_stage_turn(&stage);
    assert_int_equal(stage.changes, 1);
    wired_stage_turn(&stage);
    assert_int_equal(stage.changes, 1); /* and it was taken */
    wired_stage_end(&stage);
}

static void level_that_was_off_for_a_moment_is_seen(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    wired_stage_open(&stage);
    fake_gpio_set(0, PIN_SEATED, false);
    wired_stage_turn(&stage);
    wired_stage_sense(&stage, 0);
    wired_stage_sense(&stage, 1);
    assert_int_equal(stage.inputs.seated, LEVEL_ON);
    fake_gpio_set(0, PIN_SEATED, true);
    fake_gpio_set(0, PIN_SEATED, false);
    wired_stage_turn(&stage);
    wired_stage_sense(&stage, 2);
    assert_int_equal(stage.inputs.seated, LEVEL_OFF);
    assert_int_equal(wired_ops.wake_us(stage.port), 0);
    wired_stage_sense(&stage, 3);
    assert_int_equal(stage.inputs.seated, LEVEL_ON);
    wired_stage_end(&stage);
}

static void chip_without_interrupts_is_polled_at_its_rate(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    stage.setup.heartbeat.pin.is_used = false;
    wired_stage_open(&stage);
    wired_stage_cycle(&stage, 1000);
    assert_false(fake_gpio.line[1][PIN_STOP_CIRCUIT].has_edges);
    assert_int_equal(wired_ops.wake_us(stage.port), POLL_US);
    fake_gpio_set(1, PIN_STOP_CIRCUIT, true);
    wired_stage_cycle(&stage, 1000 + POLL_US - 1);
    assert_int_equal(fake_gpio.reads[1], 1);
    assert_int_equal(stage.inputs.stop_circuit, LEVEL_OFF);
    assert_int_equal(wired_ops.fresh_us(stage.port), 1000); /* its age counts */
    assert_int_equal(wired_ops.wake_us(stage.port), 1);
    wired_stage_cycle(&stage, 1000 + POLL_US);
    assert_int_equal(fake_gpio.reads[1], 2);
    assert_int_equal(stage.inputs.stop_circuit, LEVEL_ON);
    assert_int_equal(wired_ops.fresh_us(stage.port), 1000 + POLL_US);
    wired_stage_end(&stage);
}

static void s5_what_cannot_be_read_is_unknown(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    wired_stage_open(&stage);
    fake_gpio_set(1, PIN_STOP_CIRCUIT, true);
    wired_stage_sense(&stage, 0);
    assert_int_equal(stage.inputs.stop_circuit, LEVEL_ON);
    fake_gpio.cannot_read[1] = true;
    wired_stage_sense(&stage, POLL_US);
    assert_int_equal(stage.inputs.stop_circuit, LEVEL_UNKNOWN);
    assert_int_equal(stage.inputs.open, LEVEL_OFF); /* of the other chip */
    fake_gpio.cannot_read[1] = false;
    wired_stage_sense(&stage, 2 * POLL_US);
    assert_int_equal(stage.inputs.stop_circuit, LEVEL_ON);
    wired_stage_end(&stage);
}

static void s5_edges_that_cannot_be_taken_leave_the_line_unknown(void **state) {
    (void)state;
    enum { RETRY_US = 1000000, LATE_US = 5 * RETRY_US };
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    stage.setup.heartbeat.pin.is_used = false;
    wired_stage_open(&stage);
    wired_stage_sense(&stage, 0);
    fake_gpio.cannot_take_edges[0] = true;
    fake_gpio_set(0, PIN_SEATED, false);
    wired_stage_turn(&stage);
    assert_int_equal(stage.changes, 1);
    wired_stage_sense(&stage,
                      LATE_US); /* its level could be read, but who would hear of the next edge? */
    assert_int_equal(stage.inputs.seated, LEVEL_UNKNOWN);
    assert_int_equal(wired_ops.wake_us(stage.port), POLL_US);
    wired_stage_turn(&stage);
    assert_int_equal(stage.changes, 1); /* the loop does not go round for it */
    wired_stage_sense(&stage, LATE_US + RETRY_US - 1);
    assert_int_equal(stage.inputs.seated, LEVEL_UNKNOWN);
    assert_int_equal(wired_ops.wake_us(stage.port), 1);

    fake_gpio.cannot_take_edges[0] = false;
    wired_stage_sense(&stage, LATE_US + RETRY_US);
    assert_int_equal(stage.inputs.seated, LEVEL_ON);
    wired_stage_turn(&stage);
    assert_int_equal(stage.changes, 2); /* the edge that waited */
    fake_gpio_set(0, PIN_OPEN, true);
    wired_stage_turn(&stage);
    assert_int_equal(stage.changes, 3);
    wired_stage_end(&stage);
}

static void s5_edges_that_cannot_be_waited_for_again_leave_the_line_unknown(void **state) {
    (void)state;
    enum { RETRY_US = 1000000 };
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    wired_stage_open(&stage);
    wired_stage_sense(&stage, 0);
    assert_int_equal(stage.inputs.seated, LEVEL_OFF);
    fake_gpio.cannot_take_edges[0] = true;
    fake_gpio_set(0, PIN_SEATED, false);
    wired_stage_turn(&stage);
    wired_stage_sense(&stage, 1);
    fake_gpio.cannot_take_edges[0] = false;
    cannot_watch = true;
    wired_stage_sense(&stage, 1 + RETRY_US);
    cannot_watch = false;
    assert_int_equal(stage.inputs.seated, LEVEL_UNKNOWN);
    wired_stage_sense(&stage, 2 * RETRY_US);
    assert_int_equal(stage.inputs.seated, LEVEL_UNKNOWN); /* not before its time */
    wired_stage_sense(&stage, 1 + 2 * RETRY_US);
    assert_int_equal(stage.inputs.seated, LEVEL_ON);
    wired_stage_end(&stage);
}

static void what_cannot_be_waited_for_is_refused(void **state) {
    (void)state;
    for (unsigned i = 0; i < 2; i++) {
        struct wired_stage stage;
        wired_stage_prepare(&stage);
        if (i == 1) {
            stage.setup.inputs = 0;
            stage.setup.position = (struct wired_sensor){
                .kind = WIRED_SENSOR_ENCODER, .pin = {pin_at(0, PIN_A)}, .counts = 8};
        }
        cannot_watch = true;
        stage.port = wired_ops.open(&stage.settings, &stage.host, &stage.error);
        cannot_watch = false;
        assert_null(stage.port);
        assert_string_equal(stage.error.where, i == 0 ? "header" : "position");
        assert_non_null(strstr(stage.error.what, "cannot be waited for"));
        wired_stage_end(&stage);
    }
}

static void contacts_that_disagree_are_off_and_then_unknown(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    wired_stage_open(&stage);
    fake_gpio_set(0, PIN_LOCKED, true);
    wired_stage_cycle(&stage, 1000);
    assert_int_equal(stage.inputs.locked, LEVEL_OFF);
    wired_stage_cycle(&stage, 1000 + DIFFER_US - 1);
    assert_int_equal(stage.inputs.locked, LEVEL_OFF);
    assert_int_equal(wired_ops.wake_us(stage.port), 1);
    wired_stage_cycle(&stage, 1000 + DIFFER_US);
    assert_int_equal(stage.inputs.locked, LEVEL_UNKNOWN);
    fake_gpio_set(0, PIN_LOCKED_TOO, false);
    wired_stage_cycle(&stage, 1001 + DIFFER_US);
    assert_int_equal(stage.inputs.locked, LEVEL_ON);
    wired_stage_end(&stage);
}

/* ---- outputs */

static void opens_with_everything_off(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    wired_stage_open(&stage);
    assert_true(fake_gpio_level(0, PIN_SIGNAL)); /* active low */
    static const unsigned off[] = {PIN_LOCK_DRIVE, PIN_LOCK_WITHDRAW, PIN_BRAKE, PIN_BEAT,
                                   PIN_RAISE,      PIN_LOWER,         PIN_ENABLE};
    for (size_t i = 0; i < sizeof off / sizeof off[0]; i++) {
        assert_true(fake_gpio.line[0][off[i]].is_output);
        assert_false(fake_gpio_level(0, off[i]));
    }
    assert_int_equal(fake_gpio.writes, 0);
    wired_stage_end(&stage);
}

static void off_goes_before_on(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    stage.setup.heartbeat.pin.is_used = false;
    wired_stage_open(&stage);
    stage.outputs.lock = LOCK_DRIVE_WITHDRAWN;
    wired_stage_act(&stage, 0);
    fake_gpio.log[0] = '\0';
    stage.outputs.lock = LOCK_DRIVE_DRIVEN;
    wired_stage_act(&stage, 1);
    assert_string_equal(fake_gpio.log, "0:12=0 0:11=1 ");
    wired_stage_end(&stage);
}

static void brake_stays_applied_while_the_motor_rests(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    wired_stage_open(&stage);
    stage.outputs.brake_released = true;
    stage.outputs.lift_effort = 1;
    wired_stage_act(&stage, 0); /* the first drive waits for the dead time */
    assert_false(fake_gpio_level(0, PIN_BRAKE) || fake_gpio_level(0, PIN_RAISE));
    wired_stage_act(&stage, DEAD_US);
    assert_true(fake_gpio_level(0, PIN_BRAKE) && fake_gpio_level(0, PIN_RAISE) &&
                fake_gpio_level(0, PIN_ENABLE));
    stage.outputs.lift_effort = -1;
    wired_stage_act(&stage, 2 * DEAD_US);
    assert_false(fake_gpio_level(0, PIN_BRAKE) || fake_gpio_level(0, PIN_RAISE) ||
                 fake_gpio_level(0, PIN_LOWER));
    wired_stage_act(&stage, 3 * DEAD_US);
    assert_true(fake_gpio_level(0, PIN_BRAKE) && fake_gpio_level(0, PIN_LOWER));
    wired_stage_end(&stage);
}

static void heartbeat_beats_with_the_cycle_alone(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    wired_stage_open(&stage);
    wired_stage_cycle(&stage, HALF_US);
    assert_true(fake_gpio_level(0, PIN_BEAT));
    wired_stage_cycle(&stage, 2 * HALF_US - 1);
    assert_true(fake_gpio_level(0, PIN_BEAT));
    wired_stage_cycle(&stage, 2 * HALF_US);
    assert_false(fake_gpio_level(0, PIN_BEAT));
    for (unsigned i = 0; i < 100; i++) { /* edges come, but no cycle follows */
        fake_gpio_set(0, PIN_OPEN, i % 2 == 0);
        wired_stage_turn(&stage);
    }
    assert_false(fake_gpio_level(0, PIN_BEAT));
    wired_stage_end(&stage);
}

static void s7_write_error_puts_everything_to_safe(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    wired_stage_open(&stage);
    wired_stage_act(&stage, 0);
    stage.outputs.lift_effort = 1;
    stage.outputs.brake_released = true;
    stage.outputs.track[0].end[0].signal_proceed = true;
    wired_stage_act(&stage, DEAD_US);
    assert_true(fake_gpio_level(0, PIN_RAISE) && !fake_gpio_level(0, PIN_SIGNAL));
    fake_gpio.cannot_write[1] = true;
    stage.outputs.track[0].span_power = true;
    wired_stage_act(&stage, 2 * DEAD_US);
    assert_false(fake_gpio_level(0, PIN_RAISE) || fake_gpio_level(0, PIN_BRAKE) ||
                 fake_gpio_level(0, PIN_ENABLE));
    assert_true(fake_gpio_level(0, PIN_SIGNAL));
    wired_stage_sense(&stage, 2 * DEAD_US);
    assert_true(stage.inputs.is_device_lost);

    /* Nothing is driven, and nothing beats, until everything could be put to safe. */
    bool beat = fake_gpio_level(0, PIN_BEAT);
    wired_stage_act(&stage, 2 * DEAD_US + WIRED_RETRY_US - 1);
    fake_gpio.cannot_write[1] = false;
    wired_stage_act(&stage, 2 * DEAD_US + WIRED_RETRY_US - 1);
    wired_stage_sense(&stage, 2 * DEAD_US + WIRED_RETRY_US - 1);
    assert_true(stage.inputs.is_device_lost && fake_gpio_level(0, PIN_BEAT) == beat);
    wired_stage_act(&stage, 2 * DEAD_US + WIRED_RETRY_US);
    wired_stage_sense(&stage, 2 * DEAD_US + WIRED_RETRY_US);
    assert_false(stage.inputs.is_device_lost || fake_gpio_level(0, PIN_RAISE));
    wired_stage_act(&stage,
                    2 * DEAD_US + WIRED_RETRY_US + 1); /* the motor rests first, as after a start */
    assert_false(fake_gpio_level(0, PIN_RAISE));
    wired_stage_act(&stage, 3 * DEAD_US + WIRED_RETRY_US + 1);
    assert_true(fake_gpio_level(0, PIN_RAISE));
    wired_stage_end(&stage);
}

static void safe_switches_off_even_what_was_off(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    wired_stage_open(&stage);
    fake_gpio.line[0][PIN_RAISE].level = true; /* somebody meddled */
    wired_ops.safe(stage.port);
    assert_false(fake_gpio_level(0, PIN_RAISE));
    wired_stage_end(&stage);
}

static void line_in_use_is_refused_and_nothing_stays_open(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    fake_gpio.line[1][PIN_STOP_CIRCUIT].is_output = true;
    assert_null(wired_ops.open(&stage.settings, &stage.host, &stage.error));
    assert_non_null(strstr(stage.error.what, "in use"));
    fake_gpio.line[1][PIN_STOP_CIRCUIT].is_output = false;
    wired_stage_end(&stage);
}

/* What `act` puts to the log, which is standard error, with this effort. */
static const char *told_of_effort(struct wired_stage *stage, double effort, uint64_t now_us) {
    static char text[1024];
    FILE *log = tmpfile();
    int kept = dup(STDERR_FILENO);
    assert_true(log != NULL && kept >= 0);
    assert_true(dup2(fileno(log), STDERR_FILENO) >= 0);
    stage->outputs.lift_effort = effort;
    wired_stage_cycle(stage, now_us);
    assert_true(dup2(kept, STDERR_FILENO) >= 0);
    close(kept);
    rewind(log);
    text[fread(text, 1, sizeof text - 1, log)] = '\0';
    fclose(log);
    return text;
}

static void dry_run_tells_of_each_output_and_of_every_start_and_stop(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    stage.settings.is_dry = true;
    wired_stage_open(&stage);
    wired_stage_cycle(&stage, 0);
    stage.outputs.lock = LOCK_DRIVE_WITHDRAWN; /* it has a pin for each way */
    assert_non_null(
        strstr(told_of_effort(&stage, 0, 0), "dry run: would switch lock, withdraw on"));
    assert_non_null(
        strstr(told_of_effort(&stage, 0.03, DEAD_US), "dry run: would raise the lift, effort 3 %"));
    assert_null(strstr(told_of_effort(&stage, 0.04, DEAD_US + 1), "effort"));
    assert_non_null(strstr(told_of_effort(&stage, 0.3, DEAD_US + 2),
                           "dry run: would raise the lift, effort 30 %"));
    told_of_effort(&stage, 0.02, DEAD_US + 3);
    assert_non_null(
        strstr(told_of_effort(&stage, 0, DEAD_US + 4), "dry run: would leave the lift at rest"));
    assert_non_null(strstr(told_of_effort(&stage, -0.02, 3 * DEAD_US),
                           "dry run: would lower the lift, effort 2 %"));
    wired_stage_end(&stage);
}

static void dry_run_reads_and_drives_nothing(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    stage.settings.is_dry = true;
    snprintf(stage.setup.lock.pwm.chip, sizeof stage.setup.lock.pwm.chip, "/nowhere");
    wired_stage_open(&stage);
    fake_gpio_set(0, PIN_OPEN, true);
    stage.outputs = (struct bridge_outputs){.lift_effort = 1,
                                            .brake_released = true,
                                            .lock = LOCK_DRIVE_DRIVEN,
                                            .track[0].span_power = true};
    for (unsigned i = 0; i < 10; i++) {
        wired_stage_cycle(&stage, i * DEAD_US);
    }
    assert_int_equal(stage.inputs.open, LEVEL_ON);
    assert_false(stage.inputs.is_device_lost);
    assert_int_equal(fake_gpio.writes, 0);
    for (unsigned i = 0; i < FAKE_GPIO_LINES; i++) {
        assert_false(fake_gpio.line[0][i].is_output || fake_gpio.line[1][i].is_output);
    }
    wired_stage_end(&stage);
    assert_int_equal(fake_gpio.writes, 0);
}

/* ---- position and current */

static void encoder_is_anchored_at_the_seat(void **state) {
    (void)state;
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    stage.setup.position = (struct wired_sensor){
        .kind = WIRED_SENSOR_ENCODER, .pin = {pin_at(0, PIN_A), pin_at(0, PIN_B)}, .counts = 8};
    wired_stage_open(&stage);
    wired_stage_sense(&stage, 0);
    assert_true(isnan(stage.inputs.position_frac));
    fake_gpio_set(0, PIN_SEATED, false);
    wired_stage_sense(&stage, 1);
    assert_true(stage.inputs.position_frac == 0);
    fake_gpio_set(0, PIN_SEATED, true);
    for (unsigned i = 0; i < 3; i++) { /* their order is that of time, whichever is read first */
        fake_gpio_set(0, i % 2 == 0 ? PIN_A : PIN_B, i < 2);
    }
    wired_stage_turn(&stage);
    wired_stage_sense(&stage, 2);
    assert_true(stage.inputs.position_frac == 3.0 / 8);
    wired_stage_end(&stage);
}

static void potentiometer_is_calibrated_and_a_broken_wire_is_lost(void **state) {
    (void)state;
    struct wired_stage stage;
    struct tree tree;
    tree_make(&tree);
    wired_stage_prepare(&stage);
    tree_put(&tree, "in_voltage0_raw", "1000\n");
    tree_put(&tree, "in_voltage0_scale", "1\n"); /* mV */
    stage.setup.position = (struct wired_sensor){.kind = WIRED_SENSOR_IIO,
                                                 .channel = "voltage0",
                                                 .at_zero = 3,
                                                 .at_one = 0.5, /* turned round */
                                                 .least = 0.2,
                                                 .most = 3.2,
                                                 .poll_us = 10000};
    snprintf(stage.setup.position.device, sizeof stage.setup.position.device, "%s", tree.root);
    wired_stage_open(&stage);
    wired_stage_sense(&stage, 0);
    assert_true(fabs(stage.inputs.position_frac - 0.8) < 1e-9);
    tree_put(&tree, "in_voltage0_raw", "3100\n");
    wired_stage_sense(&stage, 9999);
    assert_true(fabs(stage.inputs.position_frac - 0.8) < 1e-9); /* not due */
    wired_stage_sense(&stage, 10000);
    assert_true(fabs(stage.inputs.position_frac + 0.04) < 1e-9);
    tree_put(&tree, "in_voltage0_raw", "0\n");
    wired_stage_sense(&stage, 20000);
    assert_true(isnan(stage.inputs.position_frac));
    tree_put(&tree, "in_voltage0_raw", "2000\n");
    wired_stage_sense(&stage, 30000);
    assert_true(fabs(stage.inputs.position_frac - 0.4) < 1e-9);
    tree_drop(&tree, "in_voltage0_raw");
    wired_stage_sense(&stage, 40000);
    assert_true(isnan(stage.inputs.position_frac));
    wired_stage_end(&stage);
    tree_remove(&tree);
}

static void current_that_freezes_under_drive_is_lost(void **state) {
    (void)state;
    struct wired_stage stage;
    struct tree tree;
    tree_make(&tree);
    wired_stage_prepare(&stage);
    wired_stage_add_current(&stage, &tree);
    wired_stage_open(&stage);
    wired_stage_cycle(&stage, 0);
    wired_stage_cycle(&stage, 2000000);
    assert_true(stage.inputs.current_a == 1.2); /* at rest */
    stage.outputs.lift_effort = 1;
    wired_stage_act(&stage, 2100000);
    wired_stage_cycle(&stage, 2500000);
    assert_true(stage.inputs.current_a == 1.2);
    wired_stage_cycle(&stage, 3500000);
    assert_true(isnan(stage.inputs.current_a));
    wired_stage_end(&stage);
    tree_remove(&tree);
}

/* ---- pulses */

static void lock_servo_gets_no_pulses_at_rest(void **state) {
    (void)state;
    struct wired_stage stage;
    struct tree tree;
    tree_make(&tree);
    wired_stage_prepare(&stage);
    tree_put(&tree, "pwm0/period", "0\n");
    tree_put(&tree, "pwm0/duty_cycle", "0\n");
    tree_put(&tree, "pwm0/enable", "0\n");
    stage.setup.lock = (struct wired_lock){
        .pwm = {.period_ns = 20000000}, .driven_ns = 1900000, .withdrawn_ns = 1100000};
    snprintf(stage.setup.lock.pwm.chip, sizeof stage.setup.lock.pwm.chip, "%s", tree.root);
    wired_stage_open(&stage);
    tree_expect(&tree, "pwm0/duty_cycle", "0");
    stage.outputs.lock = LOCK_DRIVE_WITHDRAWN;
    wired_stage_act(&stage, 0);
    tree_expect(&tree, "pwm0/duty_cycle", "1100000");
    stage.outputs.lock = LOCK_DRIVE_DRIVEN;
    wired_stage_act(&stage, 1);
    tree_expect(&tree, "pwm0/duty_cycle", "1900000");
    wired_ops.safe(stage.port);
    tree_expect(&tree, "pwm0/duty_cycle", "0");
    tree_expect(&tree, "pwm0/enable", "1");
    wired_stage_end(&stage);
    tree_remove(&tree);
}

static void s7_lost_pwm_drops_the_enable_and_the_rest(void **state) {
    (void)state;
    struct wired_stage stage;
    struct tree tree;
    tree_make(&tree);
    wired_stage_prepare(&stage);
    tree_put(&tree, "pwm0/period", "0\n");
    tree_put(&tree, "pwm0/duty_cycle", "0\n");
    tree_put(&tree, "pwm0/enable", "0\n");
    stage.setup.motor = (struct wired_motor){.kind = WIRED_MOTOR_PHASE,
                                             .pwm = {{.period_ns = 50000}},
                                             .pin = {pin_at(0, PIN_RAISE)},
                                             .enable = pin_at(0, PIN_ENABLE)};
    snprintf(stage.setup.motor.pwm[0].chip, sizeof stage.setup.motor.pwm[0].chip, "%s", tree.root);
    wired_stage_open(&stage);
    stage.outputs.lift_effort = 0.5;
    stage.outputs.track[0].end[0].signal_proceed = true;
    wired_stage_act(&stage, 0);
    tree_expect(&tree, "pwm0/duty_cycle", "25000");
    assert_true(fake_gpio_level(0, PIN_ENABLE) && !fake_gpio_level(0, PIN_SIGNAL));
    tree_drop(&tree, "pwm0/duty_cycle");
    stage.outputs.lift_effort = 0.6;
    wired_stage_act(&stage, 1);
    assert_true(!fake_gpio_level(0, PIN_ENABLE) && fake_gpio_level(0, PIN_SIGNAL));
    wired_stage_sense(&stage, 1);
    assert_true(stage.inputs.is_device_lost);
    wired_stage_end(&stage);
    tree_remove(&tree);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(polarity_and_pull_are_those_of_the_setup),
        cmocka_unit_test(edge_calls_the_cycle),
        cmocka_unit_test(level_that_was_off_for_a_moment_is_seen),
        cmocka_unit_test(chip_without_interrupts_is_polled_at_its_rate),
        cmocka_unit_test(s5_what_cannot_be_read_is_unknown),
        cmocka_unit_test(s5_edges_that_cannot_be_taken_leave_the_line_unknown),
        cmocka_unit_test(s5_edges_that_cannot_be_waited_for_again_leave_the_line_unknown),
        cmocka_unit_test(what_cannot_be_waited_for_is_refused),
        cmocka_unit_test(contacts_that_disagree_are_off_and_then_unknown),
        cmocka_unit_test(opens_with_everything_off),
        cmocka_unit_test(off_goes_before_on),
        cmocka_unit_test(brake_stays_applied_while_the_motor_rests),
        cmocka_unit_test(heartbeat_beats_with_the_cycle_alone),
        cmocka_unit_test(s7_write_error_puts_everything_to_safe),
        cmocka_unit_test(safe_switches_off_even_what_was_off),
        cmocka_unit_test(line_in_use_is_refused_and_nothing_stays_open),
        cmocka_unit_test(dry_run_reads_and_drives_nothing),
        cmocka_unit_test(dry_run_tells_of_each_output_and_of_every_start_and_stop),
        cmocka_unit_test(encoder_is_anchored_at_the_seat),
        cmocka_unit_test(potentiometer_is_calibrated_and_a_broken_wire_is_lost),
        cmocka_unit_test(current_that_freezes_under_drive_is_lost),
        cmocka_unit_test(lock_servo_gets_no_pulses_at_rest),
        cmocka_unit_test(s7_lost_pwm_drops_the_enable_and_the_rest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
