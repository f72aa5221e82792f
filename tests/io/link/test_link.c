/* A bridge whose signals, power and detectors are on another server, an honest one. Bad ones:
 * test_link_trust.c. */
#include "io/drivers.h"
#include "support/check.h"
#include "support/io/link_stage.h"

#include <string.h>

static const uint64_t second = 1000000;

static bool has_heard(const struct link_peer *peer, const char *text) {
    return strstr(peer->heard, text) != NULL;
}

static unsigned times_heard(const struct link_peer *peer, const char *text) {
    unsigned times = 0;
    for (const char *at = peer->heard; (at = strstr(at, text)) != NULL; at++) {
        times++;
    }
    return times;
}

static void s6_what_stands_there_is_switched_off_and_locked_before_anything_else(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    link_stage_open(&stage);
    const char *heard = stage.peer.heard;
    const char *first_lock = strstr(heard, "SET 1 LOCK");
    const char *signal = strstr(heard, "SET 1 GA 11 0 1 -1|");
    const char *power = strstr(heard, "SET 1 POWER OFF|");
    const char *horn = strstr(heard, "SET 1 GA 3 0 0 -1|");
    assert_true(first_lock != NULL && signal != NULL && power != NULL && horn != NULL);
    assert_true(signal < first_lock && power < first_lock && horn < first_lock);
    assert_true(has_heard(&stage.peer, "SET 1 LOCK GA 11 10|"));
    assert_true(has_heard(&stage.peer, "SET 1 LOCK GA 12 10|"));
    assert_true(has_heard(&stage.peer, "SET 1 LOCK GA 3 10|"));
    assert_false(has_heard(&stage.peer, "LOCK POWER"));
    /* Nobody asked for power or proceed: not before the bridge has proved itself. */
    assert_int_equal(peer_shows(&stage.peer, "GA 11 0"), 1);
    assert_int_equal(peer_shows(&stage.peer, "GA 12 0"), 1);
    assert_int_equal(peer_shows(&stage.peer, "POWER"), 0);
    link_stage_close(&stage);
}

/* The rest of this bridge is simulated, and there is no dry run of that but here. */
static const struct port_ops *find_dry(const char *name) {
    static struct port_ops dry;
    dry = *drivers_find(name);
    dry.can_run_dry = true;
    return strcmp(name, "link") == 0 ? drivers_find(name) : &dry;
}

static void dry_run_reads_and_switches_nothing(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    stage.settings.is_dry = true;
    stage.settings.find = find_dry;
    stage.may_disagree = true; /* signals there show proceed, and power is on */
    link_stage_open(&stage);
    link_stage_run_for(&stage, 5 * second);
    assert_int_equal(stage.inputs.track[0].end[0].approach_clear, LEVEL_ON);
    peer_change(&stage.peer, "FB 106", 1);
    link_stage_settle(&stage);
    assert_int_equal(stage.inputs.track[0].end[0].approach_clear, LEVEL_OFF);
    link_stage_run_for(&stage, second); /* that train is not stopped by its address, either */
    stage.outputs.horn = true;
    stage.ops->act(stage.port, stage.now_us, &stage.outputs);
    link_stage_close(&stage); /* which switches everything off, otherwise */
    assert_true(has_heard(&stage.peer, "GET 1 GA 11 1|"));
    assert_false(has_heard(&stage.peer, "SET 1 "));
    assert_int_equal(peer_shows(&stage.peer, "GA 11 1"), 1);
    assert_int_equal(peer_shows(&stage.peer, "POWER"), 1);
}

static void l1_opening_runs_with_its_signals_elsewhere(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    link_stage_line(&stage);
    assert_int_equal(link_stage_ask(&stage, REQUEST_RAISE), ANSWER_GRANTED);
    assert_true(link_stage_run_to(&stage, PHASE_OPEN, 60 * second));
    assert_int_equal(peer_shows(&stage.peer, "GA 11 0"), 1);
    assert_int_equal(peer_shows(&stage.peer, "POWER"), 0);
    assert_true(has_heard(&stage.peer, "SET 1 GA 3 0 1 -1|")); /* the horn sounded */
    assert_int_equal(link_stage_ask(&stage, REQUEST_LOWER), ANSWER_GRANTED);
    assert_true(link_stage_run_to(&stage, PHASE_LINED, 60 * second));
    link_stage_run_for(&stage, 2 * second);
    assert_int_equal(peer_shows(&stage.peer, "GA 11 1"), 1);
    assert_int_equal(peer_shows(&stage.peer, "POWER"), 1);
    link_stage_close(&stage);
}

static void commands_are_sent_on_change_only_and_locks_renewed(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    link_stage_line(&stage);
    stage.peer.heard[0] = '\0';
    link_stage_run_for(&stage, 21 * second);
    assert_int_equal(times_heard(&stage.peer, "SET 1 GA"), 0);
    assert_int_equal(times_heard(&stage.peer, "SET 1 POWER"), 0);
    /* 10 s, renewed at half. */
    assert_in_range(times_heard(&stage.peer, "SET 1 LOCK GA 11 10|"), 4, 5);
    /* A heartbeat each half second, each value in its turn. */
    assert_in_range(times_heard(&stage.peer, "GET 1 "), 40, 43);
    assert_in_range(times_heard(&stage.peer, "GET 1 FB 106|"), 3, 5);
    link_stage_close(&stage);
}

static void detectors_there_are_seen_in_the_same_turn(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    link_stage_line(&stage);
    static const struct {
        const char *device;
        size_t level;
    } cases[] = {
        {"FB 106", offsetof(struct bridge_inputs, track[0].end[0].approach_clear)},
        {"FB 102", offsetof(struct bridge_inputs, track[0].end[0].stop_clear)},
        {"FB 104", offsetof(struct bridge_inputs, track[0].end[1].stop_clear)},
        {"FB 105", offsetof(struct bridge_inputs, track[0].end[1].approach_clear)},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const enum level *level = (const void *)((const char *)&stage.inputs + cases[i].level);
        assert_int_equal(*level, LEVEL_ON);
        peer_change(&stage.peer, cases[i].device, 1);
        link_stage_settle(&stage);
        assert_int_equal(*level, LEVEL_OFF);
        peer_change(&stage.peer, cases[i].device, 0);
        link_stage_settle(&stage);
        assert_int_equal(*level, LEVEL_ON);
    }
    assert_int_equal(stage.state.phase, PHASE_LINED);
    link_stage_close(&stage);
}

/* Proceed was wanted and is not any more, and neither has reached the server: INFO still tells
 * stop, and that proves nothing. */
static void s3_signal_is_not_proved_while_a_command_is_under_way(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    link_stage_line(&stage);
    link_stage_ask(&stage, REQUEST_RAISE);
    assert_true(link_stage_run_to(&stage, PHASE_OPEN, 60 * second));
    const struct bridge_outputs stop = {0};
    struct bridge_outputs proceed = {0};
    struct bridge_inputs inputs;
    proceed.track[0].end[0].signal_proceed = true;
    stage.ops->sense(stage.port, stage.now_us, &inputs);
    assert_int_equal(inputs.track[0].end[0].signal_at_stop, LEVEL_ON);
    stage.ops->act(stage.port, stage.now_us, &proceed);
    stage.ops->act(stage.port, stage.now_us, &stop);
    stage.ops->sense(stage.port, stage.now_us, &inputs);
    assert_int_equal(peer_shows(&stage.peer, "GA 11 0"), 1);
    assert_int_equal(inputs.track[0].end[0].signal_at_stop, LEVEL_OFF);
    assert_int_equal(inputs.track[0].end[1].signal_at_stop, LEVEL_ON);
    link_stage_settle(&stage);
    stage.ops->sense(stage.port, stage.now_us, &inputs);
    assert_int_equal(inputs.track[0].end[0].signal_at_stop, LEVEL_ON);
    link_stage_close(&stage);
}

/* What a client has to put up with: CR LF, a time stamp with more digits, unknown keys in the
 * welcome line, free text behind OK, news of groups, codes and devices that are not its own. */
static void server_with_other_manners_is_understood(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    stage.peer.is_florid = true;
    stage.peer.greeting = "Marsh Yard 7; COLOUR red; SRCP 0.8.3; SRCPOTHER 0.8.2\n";
    link_stage_line(&stage);
    peer_say_info(&stage.peer, "7.000 100 INFO 0 TIME 1 2 3 4\n"
                               "7.000 100 INFO 0 GM 0 0 CREW boat ahead\n"
                               "7.000 101 INFO 1 GL 3 N 1 28 5\n"
                               "7.000 100 INFO 1 XY 1 2 3\n"
                               "7.000 103 INFO 1 GA 99 0 1\n"
                               "7.000 100 INFO 9 FB 106 1\n"
                               "7.000 102 INFO 1 FB 7\n");
    link_stage_settle(&stage);
    assert_int_equal(stage.state.phase, PHASE_LINED);
    link_stage_ask(&stage, REQUEST_RAISE);
    assert_true(link_stage_run_to(&stage, PHASE_OPEN, 60 * second));
    link_stage_ask(&stage, REQUEST_LOWER);
    assert_true(link_stage_run_to(&stage, PHASE_LINED, 60 * second));
    assert_int_equal(stage.peer.connections, 2); /* never lost */
    link_stage_close(&stage);
}

static void s8_train_seen_there_stops_the_lift(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    link_stage_line(&stage);
    link_stage_ask(&stage, REQUEST_RAISE);
    assert_true(link_stage_run_to(&stage, PHASE_RAISING, 60 * second));
    link_stage_run_for(&stage, second);
    assert_true(stage.outputs.lift_effort > 0);
    peer_change(&stage.peer, "FB 102", 1);
    link_stage_settle(&stage);
    assert_true(stage.outputs.lift_effort == 0);
    assert_int_equal(stage.state.fault, FAULT_OVERRUN);
    link_stage_close(&stage);
}

static void trains_are_stopped_by_address_before_a_span_that_is_not_lined(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    link_stage_line(&stage);
    peer_change(&stage.peer, "FB 106", 1);
    link_stage_run_for(&stage, 3 * second);
    assert_false(has_heard(&stage.peer, " GL ")); /* lined: it may come */
    peer_change(&stage.peer, "FB 106", 0);
    link_stage_ask(&stage, REQUEST_RAISE);
    assert_true(link_stage_run_to(&stage, PHASE_OPEN, 60 * second));
    assert_false(has_heard(&stage.peer, " GL ")); /* nobody there */
    peer_change(&stage.peer, "FB 106", 1);
    link_stage_settle(&stage);
    assert_int_equal(times_heard(&stage.peer, "SET 1 GL 3 2 0 28|"), 1);
    assert_int_equal(times_heard(&stage.peer, "SET 1 GL 44 2 0 126|"), 1);
    link_stage_run_for(&stage, 10 * second);
    assert_int_equal(times_heard(&stage.peer, " GL "), 2);
    /* Somebody lets one run again. */
    peer_say_info(&stage.peer, "7.000 100 INFO 1 GL 3 1 20 28 0\n");
    link_stage_run_for(&stage, second);
    assert_int_equal(times_heard(&stage.peer, "SET 1 GL 3 2 0 28|"), 2);
    assert_int_equal(times_heard(&stage.peer, "SET 1 GL 44 "), 1);
    assert_int_equal(stage.state.phase, PHASE_OPEN);
    link_stage_close(&stage);
}

static void refused_emergency_stop_is_tried_again(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    link_stage_line(&stage);
    link_stage_ask(&stage, REQUEST_RAISE);
    assert_true(link_stage_run_to(&stage, PHASE_OPEN, 60 * second));
    stage.peer.refuses = "SET 1 GL 3 ";
    peer_change(&stage.peer, "FB 105", 1);
    link_stage_run_for(&stage, 2 * second);
    assert_in_range(times_heard(&stage.peer, "SET 1 GL 3 "), 4, 5);
    assert_int_equal(times_heard(&stage.peer, "SET 1 GL 44 "), 1);
    link_stage_close(&stage);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(s6_what_stands_there_is_switched_off_and_locked_before_anything_else),
        cmocka_unit_test(dry_run_reads_and_switches_nothing),
        cmocka_unit_test(l1_opening_runs_with_its_signals_elsewhere),
        cmocka_unit_test(commands_are_sent_on_change_only_and_locks_renewed),
        cmocka_unit_test(detectors_there_are_seen_in_the_same_turn),
        cmocka_unit_test(s3_signal_is_not_proved_while_a_command_is_under_way),
        cmocka_unit_test(server_with_other_manners_is_understood),
        cmocka_unit_test(s8_train_seen_there_stops_the_lift),
        cmocka_unit_test(trains_are_stopped_by_address_before_a_span_that_is_not_lined),
        cmocka_unit_test(refused_emergency_stop_is_tried_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
