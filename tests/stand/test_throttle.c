/* The hand throttle of a stand, by each device that it may be: whole openings, and everything that
 * lets go: the hand, the grip, the key, the plug, the wire. The core judges as in test_stand.c. */
#include "stand/lever.h"
#include "support/check.h"
#include "support/daemon/tree.h"
#include "support/stand/stand_stage.h"

#include <event2/event.h>
#include <linux/input-event-codes.h>
#include <math.h>
#include <stdio.h>

enum { GRIP = KEY_G };

static struct stand_stage stage;
static struct tree tree;

static void prepare(const struct stand_throttle *throttle, bool has_grip) {
    stand_stage_prepare(&stage);
    stage.setup.throttle = *throttle;
    stage.setup.throttle.dead_share = 0.1;
    if (has_grip) {
        stage.setup.control[stage.setup.controls++] = (struct stand_control){
            .kind = STAND_GRIP, .is_key = true, .key = GRIP, .stuck_us = 300000000};
    }
}

static void put_volts(double volts) {
    char text[32];
    snprintf(text, sizeof text, "%.0f\n", volts * 1000);
    tree_put(&tree, "in_voltage0_raw", text);
}

static void open_stage(void) {
    stand_stage_open(&stage);
    assert_string_equal(stage.error.what, "");
    assert_non_null(stage.stand);
}

static int joystick(void **state) {
    static const struct stand_throttle throttle = {
        .kind = STAND_THROTTLE_JOYSTICK, .axis = ABS_Y, .is_inversed = true};
    (void)state;
    prepare(&throttle, false);
    open_stage();
    return 0;
}

static int encoder(void **state) {
    static const struct stand_throttle throttle = {
        .kind = STAND_THROTTLE_ENCODER, .axis = REL_DIAL, .step_share = 0.1};
    (void)state;
    prepare(&throttle, true);
    open_stage();
    return 0;
}

static int potentiometer(void **state) {
    struct stand_throttle throttle = {.kind = STAND_THROTTLE_POTENTIOMETER,
                                      .channel = "voltage0",
                                      .down_v = 0.5,
                                      .rest_v = 1.5,
                                      .up_v = 2.5,
                                      .least_v = 0.3,
                                      .most_v = 2.7,
                                      .poll_us = 50000,
                                      .is_voltage = true};
    (void)state;
    tree_make(&tree);
    tree_put(&tree, "in_voltage_scale", "1\n");
    put_volts(1.5);
    snprintf(throttle.iio, sizeof throttle.iio, "%s", tree.root);
    prepare(&throttle, true);
    open_stage();
    return 0;
}

static int end(void **state) {
    (void)state;
    stand_stage_end(&stage);
    if (tree.root[0] != '\0') {
        tree_remove(&tree);
        tree.root[0] = '\0';
    }
    return 0;
}

static void stick(int value) {
    fake_evdev_axis(0, ABS_Y, value);
    event_base_loop(stage.base, EVLOOP_NONBLOCK);
}

static enum bridge_phase phase(void) {
    return stage.puppet.state.phase;
}

/* ---- joystick: forward is up, and counts down */

static void a_whole_opening_by_joystick(void **state) {
    (void)state;
    stick(-100);
    stand_stage_run_to(&stage, PHASE_OPEN);
    stand_stage_run(&stage, 1000000);
    stick(0);
    stick(100);
    stand_stage_run_to(&stage, PHASE_LINED);
    assert_int_equal(stage.refusals, 0);
}

static void letting_go_rests_the_span_in_the_same_turn(void **state) {
    (void)state;
    stick(-100);
    stand_stage_run_to(&stage, PHASE_RAISING);
    stand_stage_run(&stage, 3000000);
    assert_int_equal(phase(), PHASE_RAISING);
    uint64_t before_us = stage.puppet.now_us;
    stick(-3);
    assert_int_equal(phase(), PHASE_HELD);
    assert_true(stage.puppet.now_us == before_us && stage.puppet.outputs.lift_effort == 0);
}

static void unplugged_while_the_span_moves_it_rests(void **state) {
    (void)state;
    stick(-100);
    stand_stage_run_to(&stage, PHASE_RAISING);
    fake_evdev_unplug(0);
    event_base_loop(stage.base, EVLOOP_NONBLOCK);
    assert_int_equal(phase(), PHASE_HELD);
    fake_evdev_plug(0); /* still pushed forward */
    stand_stage_run(&stage, 5000000);
    assert_true(fake_evdev.device[0].is_open);
    assert_int_equal(phase(), PHASE_HELD);
    stick(0);
    stick(-100);
    stand_stage_run_to(&stage, PHASE_OPEN);
}

static void who_takes_the_key_takes_the_throttle_away(void **state) {
    (void)state;
    stick(-100);
    stand_stage_run_to(&stage, PHASE_RAISING);
    stand_stage_put(&stage, STAGE_KEY, false);
    assert_int_equal(phase(), PHASE_HELD);
    unsigned asks = stage.asks;
    stick(0);
    stick(-100);
    stand_stage_run(&stage, 1000000);
    assert_int_equal(stage.asks, asks);
}

static void a_lock_of_the_network_refuses_a_run_once(void **state) {
    (void)state;
    stage.barred_by = 5;
    stick(-100);
    stand_stage_run(&stage, 5000000);
    assert_int_equal(stage.refusals, 1);
    assert_int_equal(phase(), PHASE_LINED);
}

static void a_stand_that_hangs_lets_go(void **state) {
    (void)state;
    stick(-100);
    stand_stage_run_to(&stage, PHASE_RAISING);
    puppet_run_for(&stage.puppet, 2 * THROTTLE_US);
    assert_int_equal(phase(), PHASE_HELD);
}

/* ---- encoder: its steps count only while it is gripped, from rest */

static void a_whole_opening_by_encoder(void **state) {
    (void)state;
    fake_evdev_step(0, REL_DIAL, 10); /* nobody grips it */
    stand_stage_run(&stage, 1000000);
    stand_stage_key(&stage, GRIP, true);
    stand_stage_run(&stage, 1000000);
    assert_int_equal(stage.asks, 0);
    fake_evdev_step(0, REL_DIAL, 5);
    stand_stage_run(&stage, 10000);
    assert_int_equal(stage.asked.kind, REQUEST_THROTTLE_UP);
    assert_true(fabs(stage.asked.share - 0.5) < 1e-9);
    fake_evdev_step(0, REL_DIAL, 20); /* no more than all */
    stand_stage_run_to(&stage, PHASE_OPEN);
    assert_true(stage.asked.share == 1);
}

static void letting_the_grip_go_rests_the_span(void **state) {
    (void)state;
    stand_stage_key(&stage, GRIP, true);
    stand_stage_run(&stage, 20000);
    fake_evdev_step(0, REL_DIAL, 10);
    stand_stage_run_to(&stage, PHASE_RAISING);
    stand_stage_key(&stage, GRIP, false);
    assert_int_equal(phase(), PHASE_HELD);
    stand_stage_key(&stage, GRIP, true); /* begins at rest again */
    stand_stage_run(&stage, 1000000);
    assert_int_equal(phase(), PHASE_HELD);
}

static void a_grip_that_is_tied_down_lets_go(void **state) {
    (void)state;
    stand_stage_key(&stage, GRIP, true);
    stand_stage_run(&stage, 300000000);
    unsigned asks = stage.asks;
    fake_evdev_step(0, REL_DIAL, 10);
    stand_stage_run(&stage, 1000000);
    assert_int_equal(stage.asks, asks);
}

/* ---- potentiometer: read while it is gripped, and only then */

static void a_whole_opening_by_potentiometer(void **state) {
    (void)state;
    assert_int_equal(stand_stage_timers(&stage), 0);
    put_volts(2.5);
    stand_stage_key(&stage, GRIP, true);
    stand_stage_run(&stage, 1000000);
    assert_int_equal(stage.asks, 0); /* it was not at rest when it was gripped */
    put_volts(1.55);
    stand_stage_run(&stage, 60000);
    put_volts(2.5);
    stand_stage_run(&stage, 60000);
    assert_int_equal(stage.asked.kind, REQUEST_THROTTLE_UP);
    assert_true(stage.asked.is_voltage && stage.asked.share == 1);
    stand_stage_run_to(&stage, PHASE_OPEN);
}

static void a_broken_wire_of_the_potentiometer_rests_the_span(void **state) {
    (void)state;
    static const double broken[] = {0, 3.3, -1}; /* -1: the device has gone */
    for (unsigned i = 0; i < 3; i++) {
        put_volts(1.5);
        stand_stage_key(&stage, GRIP, true);
        stand_stage_run(&stage, 60000);
        put_volts(2.5);
        stand_stage_run_to(&stage, PHASE_RAISING);
        if (broken[i] < 0) {
            tree_drop(&tree, "in_voltage0_raw");
        } else {
            put_volts(broken[i]);
        }
        stand_stage_run(&stage, 60000);
        assert_int_equal(phase(), PHASE_HELD);
        stand_stage_key(&stage, GRIP, false);
    }
}

static void volts_are_shares_either_way_round(void **state) {
    (void)state;
    static const struct {
        double down_v, rest_v, up_v, volts, share;
    } cases[] = {{0.5, 1.5, 2.5, 1.5, 0},      {0.5, 1.5, 2.5, 2, 0.5},
                 {0.5, 1.5, 2.5, 0.75, -0.75}, {0.5, 1.5, 2.5, 2.6, 1},
                 {2.5, 1.0, 0.5, 0.75, 0.5},   {2.5, 1.0, 0.5, 1.75, -0.5},
                 {0.5, 1.5, 2.5, 2.71, NAN},   {0.5, 1.5, 2.5, 0.2, NAN}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const struct stand_throttle throttle = {.down_v = cases[i].down_v,
                                                .rest_v = cases[i].rest_v,
                                                .up_v = cases[i].up_v,
                                                .least_v = 0.3,
                                                .most_v = 2.7};
        double share = lever_share_of_volts(&throttle, cases[i].volts);
        assert_true(isnan(cases[i].share) ? isnan(share) : fabs(share - cases[i].share) < 1e-9);
    }
}

/* Layout time runs twenty times as fast: so must the hand that holds on in it. */
static void a_hurried_bridge_is_held_on_as_often(void **state) {
    static const struct stand_throttle throttle = {.kind = STAND_THROTTLE_JOYSTICK};
    (void)state;
    prepare(&throttle, false);
    stage.pace = 20;
    open_stage();
    fake_evdev_axis(0, ABS_X, 100);
    stand_stage_run(&stage, 1000000);
    assert_true(stage.asks >= 1000000 / (THROTTLE_US / 20));
}

#define WITH(device, test) cmocka_unit_test_setup_teardown(test, device, end)

int main(void) {
    const struct CMUnitTest tests[] = {
        WITH(joystick, a_whole_opening_by_joystick),
        WITH(joystick, letting_go_rests_the_span_in_the_same_turn),
        WITH(joystick, unplugged_while_the_span_moves_it_rests),
        WITH(joystick, who_takes_the_key_takes_the_throttle_away),
        WITH(joystick, a_lock_of_the_network_refuses_a_run_once),
        WITH(joystick, a_stand_that_hangs_lets_go),
        WITH(encoder, a_whole_opening_by_encoder),
        WITH(encoder, letting_the_grip_go_rests_the_span),
        WITH(encoder, a_grip_that_is_tied_down_lets_go),
        WITH(potentiometer, a_whole_opening_by_potentiometer),
        WITH(potentiometer, a_broken_wire_of_the_potentiometer_rests_the_span),
        cmocka_unit_test(volts_are_shares_either_way_round),
        cmocka_unit_test_teardown(a_hurried_bridge_is_held_on_as_often, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
