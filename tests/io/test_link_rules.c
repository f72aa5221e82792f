/* The link alone, without a core: what it switches, and when, for outputs that the test sets. */
#include "io/link/link.h"
#include "support/check.h"
#include "support/io/link_stage.h"

#include <string.h>

static const uint64_t second = 1000000;

static void begin(struct link_stage *stage) {
    struct error error = {.what = ""};
    link_stage_init(stage);
    stage->ops = &link_ops;
    stage->settings.seen = &stage->inputs;
    stage->port = link_ops.open(&stage->settings, &stage->host, &error);
    assert_non_null(stage->port);
}

/* All that follows without time passing. */
static void pump(struct link_stage *stage) {
    unsigned lines = stage->peer.lines;
    for (unsigned idle = 0; idle < 2; idle++) {
        link_stage_turn(stage);
        link_ops.sense(stage->port, stage->now_us, &stage->inputs);
        link_ops.act(stage->port, stage->now_us, &stage->outputs);
        idle = stage->is_due || lines != stage->peer.lines ? 0 : idle;
        stage->is_due = false;
        lines = stage->peer.lines;
    }
}

static void pump_for(struct link_stage *stage, uint64_t time_us) {
    for (uint64_t end_us = stage->now_us + time_us; stage->now_us < end_us;) {
        uint32_t wake_us = link_ops.wake_us(stage->port);
        uint64_t left_us = end_us - stage->now_us;
        stage->now_us += wake_us < left_us ? wake_us : left_us;
        pump(stage);
    }
}

static void bring_home(struct link_stage *stage) {
    begin(stage);
    pump(stage);
    assert_false(stage->inputs.is_device_lost);
}

static bool has_heard(const struct link_stage *stage, const char *text) {
    return strstr(stage->peer.heard, text) != NULL;
}

/* One POWER for three sections. */
static void shared_device_is_on_only_while_all_want_it(void **state) {
    (void)state;
    struct link_stage stage;
    bring_home(&stage);
    struct track_outputs *track = &stage.outputs.track[0];
    bool *const sections[] = {&track->end[0].stop_power, &track->end[1].stop_power,
                              &track->span_power};
    for (unsigned wanted = 0; wanted < 8; wanted++) {
        for (unsigned i = 0; i < 3; i++) {
            *sections[i] = (wanted >> i & 1) != 0;
        }
        pump(&stage);
        assert_int_equal(peer_shows(&stage.peer, "POWER"), wanted == 7);
    }
    *sections[1] = false;
    pump(&stage);
    assert_int_equal(peer_shows(&stage.peer, "POWER"), 0);
    link_stage_close(&stage);
}

/* Its lock has ended, and the server does not answer whether it can be had again; all else is in
 * order. */
static void s6_link_is_not_home_without_its_locks(void **state) {
    (void)state;
    struct link_stage stage;
    begin(&stage);
    stage.peer.disobeys = "SET 1 GA 11 0"; /* so it waits */
    pump(&stage);
    assert_true(stage.inputs.is_device_lost);
    peer_say_info(&stage.peer, "7.000 102 INFO 1 LOCK GA 11\n");
    stage.peer.is_mute = true;
    pump(&stage);
    peer_change(&stage.peer, "GA 11 1", 0);
    peer_change(&stage.peer, "GA 11 0", 1);
    pump(&stage);
    assert_true(stage.inputs.is_device_lost);
    stage.peer.is_mute = false;
    stage.peer.disobeys = NULL;
    peer_say_command(&stage.peer, "7.000 200 OK\n"); /* to the lock */
    pump(&stage);
    assert_false(stage.inputs.is_device_lost);
    link_stage_close(&stage);
}

/* Nobody else is kept from a device without its lock: it is not switched on then. */
static void nothing_is_switched_on_whose_lock_is_gone(void **state) {
    (void)state;
    struct link_stage stage;
    bring_home(&stage);
    stage.peer.refuses = "SET 1 LOCK GA 3";
    peer_say_info(&stage.peer, "7.000 102 INFO 1 LOCK GA 3\n");
    link_stage_turn(&stage);
    link_ops.sense(stage.port, stage.now_us, &stage.inputs);
    stage.outputs.horn = true;
    pump(&stage);
    pump_for(&stage, 2 * second);
    assert_true(has_heard(&stage, "SET 1 LOCK GA 3"));
    assert_false(has_heard(&stage, "SET 1 GA 3 0 1"));
    assert_true(stage.inputs.is_device_lost);
    /* What is locked is not held up by it. */
    stage.outputs.track[0].end[0].signal_proceed = true;
    pump(&stage);
    assert_true(has_heard(&stage, "SET 1 GA 11 1 1 -1"));
    stage.peer.refuses = NULL;
    pump_for(&stage, second);
    assert_true(has_heard(&stage, "SET 1 GA 3 0 1"));
    link_stage_close(&stage);
}

/* Somebody there had a reason, or the device is broken; and with a bridge behind the link, that
 * wants it off by then. */
static void what_fell_off_by_itself_is_not_switched_on_again(void **state) {
    (void)state;
    struct link_stage stage;
    bring_home(&stage);
    stage.outputs.horn = true;
    pump(&stage);
    assert_int_equal(peer_shows(&stage.peer, "GA 3 0"), 1);
    stage.peer.heard[0] = '\0';
    peer_change(&stage.peer, "GA 3 0", 0);
    pump_for(&stage, 3 * second);
    assert_true(stage.inputs.is_device_lost);
    assert_true(has_heard(&stage, "GET 1 ")); /* the session goes on */
    assert_false(has_heard(&stage, "SET 1 GA 3 0 1"));
    stage.outputs.horn = false;
    pump(&stage);
    stage.outputs.horn = true; /* wanted anew */
    pump(&stage);
    assert_int_equal(peer_shows(&stage.peer, "GA 3 0"), 1);
    link_stage_close(&stage);
}

/* What the peer heard first is `one`, and both were heard. */
static void assert_heard_before(const struct link_stage *stage, const char *one,
                                const char *other) {
    const char *first = strstr(stage->peer.heard, one);
    const char *second_one = strstr(stage->peer.heard, other);
    if (first == NULL || second_one == NULL || first > second_one) {
        fail_msg("not \"%s\" before \"%s\": %s", one, other, stage->peer.heard);
    }
}

static void what_goes_off_is_sent_before_what_goes_on(void **state) {
    (void)state;
    struct link_stage stage;
    bring_home(&stage);
    stage.outputs.track[0].end[0].signal_proceed = stage.outputs.horn = true;
    pump(&stage);
    stage.peer.heard[0] = '\0';
    stage.outputs = (struct bridge_outputs){.track[0].end[1].signal_proceed = true};
    pump(&stage);
    assert_heard_before(&stage, "SET 1 GA 11 0 1", "SET 1 GA 12 1 1");
    assert_heard_before(&stage, "SET 1 GA 3 0 0", "SET 1 GA 12 1 1");
    link_stage_close(&stage);
}

/* A request is under way; meanwhile a train comes and a lock ends. A lock may be seconds in coming.
 */
static void trains_are_stopped_before_a_lock_is_asked_for(void **state) {
    (void)state;
    struct link_stage stage;
    bring_home(&stage);
    stage.peer.is_mute = true;
    pump_for(&stage, second * 6 / 10); /* longer than a beat: something was asked */
    stage.peer.heard[0] = '\0';
    peer_say_info(&stage.peer, "7.000 102 INFO 1 LOCK GA 3\n");
    peer_change(&stage.peer, "FB 106", 1);
    pump(&stage);
    assert_string_equal(stage.peer.heard, "");
    stage.peer.is_mute = false;
    peer_say_command(&stage.peer, "7.000 416 ERROR no data\n");
    pump(&stage);
    assert_heard_before(&stage, "SET 1 GL 3 2 0", "SET 1 LOCK GA 3");
    assert_heard_before(&stage, "SET 1 GL 44 2 0", "SET 1 LOCK GA 3");
    link_stage_close(&stage);
}

/* The value was told, answered, and is gone before the rest is in order. */
static void s6_link_is_not_home_with_a_value_that_is_gone(void **state) {
    (void)state;
    struct link_stage stage;
    begin(&stage);
    stage.peer.disobeys = "SET 1 GA 11 0"; /* so it waits */
    pump(&stage);
    peer_say_info(&stage.peer, "7.000 102 INFO 1 FB 104\n");
    pump(&stage);
    peer_change(&stage.peer, "GA 11 1", 0);
    peer_change(&stage.peer, "GA 11 0", 1);
    pump(&stage);
    assert_true(stage.inputs.is_device_lost);
    peer_say_info(&stage.peer, "7.000 100 INFO 1 FB 104 0\n");
    pump(&stage);
    assert_false(stage.inputs.is_device_lost);
    link_stage_close(&stage);
}

/* Of what GET and INFO contradict each other in, once: it is asked again with the next beat. */
static void doubt_is_asked_about_in_the_next_beat(void **state) {
    (void)state;
    struct link_stage stage;
    bring_home(&stage);
    stage.peer.asked[6] = 1; /* FB 106 */
    stage.peer.answers_as_asked = true;
    do {
        stage.peer.heard[0] = '\0';
        pump_for(&stage, second / 10);
    } while (!has_heard(&stage, "GET 1 FB 106|"));
    stage.peer.answers_as_asked = false;
    stage.peer.heard[0] = '\0';
    pump_for(&stage, 2 * (uint64_t)stage.config->bridge[0].link[0].beat_us);
    assert_true(has_heard(&stage, "GET 1 FB 106|")); /* its own turn is five seconds away */
    assert_false(stage.inputs.is_device_lost);
    link_stage_close(&stage);
}

/* A beat, and the reply limit after it, is how long a silence goes unnoticed. */
static void silence_is_noticed_within_its_limit(void **state) {
    (void)state;
    struct link_stage stage;
    bring_home(&stage);
    const struct link_setup *setup = &stage.config->bridge[0].link[0];
    pump_for(&stage, second);
    stage.peer.is_mute = true;
    uint64_t fresh_us = link_ops.fresh_us(stage.port);
    pump_for(&stage, setup->beat_us + setup->reply_us / 2);
    assert_false(stage.inputs.is_device_lost);
    assert_true(link_ops.fresh_us(stage.port) == fresh_us); /* nothing was confirmed since */
    pump_for(&stage, setup->reply_us / 2 + 2000);
    assert_true(stage.inputs.is_device_lost);
    link_stage_close(&stage);
}

static void start_is_over_after_its_limit(void **state) {
    (void)state;
    struct link_stage stage;
    begin(&stage);
    peer_close_door(&stage.peer);
    const struct link_setup *setup = &stage.config->bridge[0].link[0];
    pump(&stage);
    pump_for(&stage, setup->reply_us + setup->obey_us);
    assert_true(link_ops.is_starting(stage.port));
    pump_for(&stage, 1000);
    assert_false(link_ops.is_starting(stage.port));
    link_stage_close(&stage);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shared_device_is_on_only_while_all_want_it),
        cmocka_unit_test(s6_link_is_not_home_without_its_locks),
        cmocka_unit_test(nothing_is_switched_on_whose_lock_is_gone),
        cmocka_unit_test(what_fell_off_by_itself_is_not_switched_on_again),
        cmocka_unit_test(what_goes_off_is_sent_before_what_goes_on),
        cmocka_unit_test(trains_are_stopped_before_a_lock_is_asked_for),
        cmocka_unit_test(s6_link_is_not_home_with_a_value_that_is_gone),
        cmocka_unit_test(doubt_is_asked_about_in_the_next_beat),
        cmocka_unit_test(silence_is_noticed_within_its_limit),
        cmocka_unit_test(start_is_over_after_its_limit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
