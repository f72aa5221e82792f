/* A bridge whose home signal and approach detector are other nodes of LCC. */
#include "io/nodes/nodes.h"
#include "support/check.h"
#include "support/io/nodes_stage.h"

#include <string.h>

static const uint64_t second = 1000000;

static struct nodes_stage stage;

static int set_up(void **state) {
    (void)state;
    nodes_stage_init(&stage);
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    nodes_stage_close(&stage);
    return 0;
}

static const struct track_end_inputs *west(void) {
    return &stage.inputs.track[0].end[0];
}

static void s6_a_signal_that_was_left_at_proceed_is_put_to_stop_first(void **state) {
    (void)state;
    nodes_stage_open(&stage);
    assert_int_equal(stage.proceeds, 0);
    assert_true(nodes_stage_run_to(&stage, PHASE_LINED, 30 * second));
    assert_true(stage.stops > 0);
    assert_false(stage.is_at_proceed);
    nodes_stage_run_for(&stage, 8 * second);
    assert_true(stage.is_at_proceed);
    assert_int_equal(west()->signal_at_stop, LEVEL_OFF);
    assert_int_equal(west()->approach_clear, LEVEL_ON);
}

static void l1_an_opening_runs_with_its_signal_elsewhere(void **state) {
    (void)state;
    nodes_stage_line(&stage);
    assert_int_equal(nodes_stage_ask(&stage, REQUEST_RAISE), ANSWER_GRANTED);
    assert_true(nodes_stage_run_to(&stage, PHASE_OPEN, 200 * second));
    assert_false(stage.is_at_proceed);
    assert_int_equal(nodes_stage_ask(&stage, REQUEST_LOWER), ANSWER_GRANTED);
    assert_true(nodes_stage_run_to(&stage, PHASE_LINED, 200 * second));
    nodes_stage_run_for(&stage, 5 * second);
    assert_true(stage.is_at_proceed);
}

/* S3: the signal hears the command and stays at proceed; it is told again and again. */
static void s3_the_lift_stands_while_the_signal_does_not_obey(void **state) {
    (void)state;
    nodes_stage_line(&stage);
    stage.is_stuck = true;
    unsigned stops = stage.stops;
    nodes_stage_ask(&stage, REQUEST_RAISE);
    nodes_stage_run_for(&stage, 20 * second);
    assert_int_equal(stage.state.phase, PHASE_FAULT);
    assert_true(stage.stops > stops + 10);
    stage.is_stuck = false;
    nodes_stage_run_for(&stage, 5 * second);
    assert_false(stage.is_at_proceed);
    nodes_stage_ask(&stage, REQUEST_ACKNOWLEDGE);
    assert_true(nodes_stage_run_to(&stage, PHASE_LINED, 30 * second));
}

/* S5: nobody says any more whether it is clear. */
static void s5_what_nobody_confirms_is_not_known(void **state) {
    (void)state;
    nodes_stage_line(&stage);
    stage.is_deaf = true;
    nodes_stage_run_for(&stage, 3 * second);
    assert_int_equal(west()->approach_clear, LEVEL_ON);
    nodes_stage_run_for(&stage, 2 * second);
    assert_int_equal(west()->approach_clear, LEVEL_UNKNOWN);
    assert_int_equal(stage.state.phase, PHASE_FAULT);
    assert_false(stage.outputs.track[0].end[0].signal_proceed);
}

static void s7_a_lost_bus_is_a_lost_device_in_the_same_step(void **state) {
    (void)state;
    nodes_stage_line(&stage);
    nodes_stage_ask(&stage, REQUEST_RAISE);
    assert_true(nodes_stage_run_to(&stage, PHASE_RAISING, 100 * second));
    nodes_stage_run_for(&stage, second);
    assert_true(stage.outputs.lift_effort != 0);
    nodes_stage_bus(&stage, true);
    assert_true(stage.is_due);
    nodes_stage_ask(&stage, REQUEST_NONE);
    assert_true(stage.inputs.is_device_lost);
    assert_true(stage.outputs.lift_effort == 0);
    /* Meanwhile somebody worked the signal; it is put to stop before anything is believed. */
    stage.is_at_proceed = true;
    unsigned stops = stage.stops;
    nodes_stage_bus(&stage, false);
    nodes_stage_run_for(&stage, 5 * second);
    assert_true(stage.stops > stops);
    assert_false(stage.is_at_proceed);
    assert_false(stage.inputs.is_device_lost);
    assert_int_equal(stage.state.phase, PHASE_FAULT); /* latched */
    nodes_stage_ask(&stage, REQUEST_ACKNOWLEDGE);
    nodes_stage_ask(&stage, REQUEST_LOWER);
    assert_true(nodes_stage_run_to(&stage, PHASE_LINED, 200 * second));
}

/* Nobody is lost before anybody was there, but not for ever. */
static void a_bus_that_never_comes_is_lost_in_the_end(void **state) {
    (void)state;
    stage.is_bus_lost = true;
    nodes_stage_open(&stage);
    nodes_stage_run_for(&stage, 2 * second);
    assert_false(stage.inputs.is_device_lost);
    assert_int_equal(stage.state.phase, PHASE_UNPROVED);
    nodes_stage_run_for(&stage, 8 * second);
    assert_true(stage.inputs.is_device_lost);
    assert_int_equal(stage.stops + stage.proceeds + stage.questions, 0);
}

/* A node that loses its alias says nothing for a while: less than would matter. */
static void a_short_silence_of_our_node_changes_nothing(void **state) {
    (void)state;
    nodes_stage_line(&stage);
    stage.is_silent = true;
    nodes_wire_woke(&stage.wire);
    nodes_stage_run_for(&stage, second / 2);
    stage.is_silent = false;
    nodes_wire_woke(&stage.wire);
    nodes_stage_run_for(&stage, 10 * second);
    assert_int_equal(stage.state.phase, PHASE_LINED);
    assert_true(stage.is_at_proceed);
}

static void a_train_that_a_node_reports_is_seen_at_once(void **state) {
    (void)state;
    nodes_stage_line(&stage);
    nodes_stage_detector(&stage, true);
    nodes_stage_run_for(&stage, 2 * NODES_STAGE_LATE_US);
    assert_int_equal(west()->approach_clear, LEVEL_OFF);
    nodes_stage_detector(&stage, false);
    nodes_stage_run_for(&stage, 5 * NODES_STAGE_LATE_US); /* there, asked, answered */
    assert_int_equal(west()->approach_clear, LEVEL_ON);
}

/* A cycle runs in the same turn, and none for what says nothing new. */
static void only_news_wakes_the_bridge(void **state) {
    (void)state;
    nodes_stage_line(&stage);
    const uint64_t *event = stage.given.setup->point[1].event;
    for (unsigned times = 0; times < 3; times++) {
        stage.is_due = false;
        nodes_wire_said(&stage.wire, NODES_REPORTS, event[0], 0x2A5);
        nodes_wire_woke(&stage.wire);
        assert_int_equal(stage.is_due, times == 0);
        nodes_stage_ask(&stage, REQUEST_NONE);
    }
    stage.is_due = false;
    nodes_wire_said(&stage.wire, NODES_REPORTS, event[0] ^ 0xFF00, 0x2A5);
    nodes_wire_woke(&stage.wire);
    assert_false(stage.is_due);
}

/* It has been sent, and nobody has shown it yet: known, and not at stop. */
static void a_signal_with_a_command_under_way_is_not_at_stop(void **state) {
    (void)state;
    nodes_stage_open(&stage);
    assert_true(nodes_stage_run_to(&stage, PHASE_LINED, 30 * second));
    assert_int_equal(west()->signal_at_stop, LEVEL_ON);
    while (stage.proceeds == 0) {
        nodes_stage_run_for(&stage, 1000);
    }
    nodes_stage_ask(&stage, REQUEST_NONE);
    assert_false(stage.is_at_proceed);
    assert_int_equal(west()->signal_at_stop, LEVEL_OFF);
}

/* Somebody works the signal of this bridge by hand. */
static void a_signal_that_changes_unasked_is_a_fault(void **state) {
    (void)state;
    nodes_stage_line(&stage);
    nodes_stage_ask(&stage, REQUEST_RAISE);
    assert_true(nodes_stage_run_to(&stage, PHASE_OPEN, 200 * second));
    nodes_stage_signal(&stage, true);
    nodes_stage_run_for(&stage, second / 10);
    assert_int_equal(stage.state.phase, PHASE_FAULT);
    nodes_stage_run_for(&stage, second);
    assert_false(stage.is_at_proceed); /* it was told at once */
}

static void the_end_puts_the_signal_to_stop_and_waits_for_the_proof(void **state) {
    (void)state;
    nodes_stage_line(&stage);
    assert_false(stage.ops->safe(stage.port));
    assert_true(stage.ops->settle(stage.port, 3000000));
    assert_false(stage.is_at_proceed);
    stage.ops->crash_safe(stage.port);
    assert_int_equal(stage.crash_offs, 1);
}

static void the_end_says_when_there_is_no_proof(void **state) {
    (void)state;
    nodes_stage_line(&stage);
    nodes_stage_bus(&stage, true);
    assert_false(stage.ops->safe(stage.port));
    assert_false(stage.ops->settle(stage.port, 3000000));
}

static void an_open_bridge_at_rest_asks_once_a_beat(void **state) {
    (void)state;
    nodes_stage_line(&stage);
    unsigned questions = stage.questions, stops = stage.stops, proceeds = stage.proceeds;
    nodes_stage_run_for(&stage, 100 * second);
    assert_true(stage.questions - questions <= 202); /* two points, 1 s */
    assert_true(stage.questions - questions >= 180);
    assert_int_equal(stage.stops, stops);
    assert_int_equal(stage.proceeds, proceeds);
}

int main(void) {
#define NODES_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        NODES_TEST(s6_a_signal_that_was_left_at_proceed_is_put_to_stop_first),
        NODES_TEST(l1_an_opening_runs_with_its_signal_elsewhere),
        NODES_TEST(s3_the_lift_stands_while_the_signal_does_not_obey),
        NODES_TEST(s5_what_nobody_confirms_is_not_known),
        NODES_TEST(s7_a_lost_bus_is_a_lost_device_in_the_same_step),
        NODES_TEST(a_bus_that_never_comes_is_lost_in_the_end),
        NODES_TEST(a_short_silence_of_our_node_changes_nothing),
        NODES_TEST(a_train_that_a_node_reports_is_seen_at_once),
        NODES_TEST(only_news_wakes_the_bridge),
        NODES_TEST(a_signal_with_a_command_under_way_is_not_at_stop),
        NODES_TEST(a_signal_that_changes_unasked_is_a_fault),
        NODES_TEST(the_end_puts_the_signal_to_stop_and_waits_for_the_proof),
        NODES_TEST(the_end_says_when_there_is_no_proof),
        NODES_TEST(an_open_bridge_at_rest_asks_once_a_beat),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
