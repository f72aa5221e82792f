/* The link alone, without a core: what it switches, and when, for outputs that the test sets. */
#include "io/link/link.h"
#include "support/check.h"
#include "support/io/link_stage.h"

#include <event2/event.h>
#include <stdio.h>
#include <string.h>

static const uint64_t second = 1000000;

static void begin(struct link_stage *stage) {
    struct error error = {.what = ""};
    link_stage_init(stage);
    stage->ops = &link_ops;
    stage->port = link_ops.open(&stage->settings, &stage->host, &error);
    assert_non_null(stage->port);
}

/* All that follows without time passing. */
static void pump(struct link_stage *stage) {
    unsigned lines = stage->peer.lines;
    for (unsigned idle = 0; idle < 6; idle++) {
        event_base_loop(stage->base, EVLOOP_NONBLOCK);
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
    for (unsigned i = 0; i < 3; i++) {
        event_base_loop(stage.base, EVLOOP_NONBLOCK);
    }
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

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shared_device_is_on_only_while_all_want_it),
        cmocka_unit_test(s6_link_is_not_home_without_its_locks),
        cmocka_unit_test(nothing_is_switched_on_whose_lock_is_gone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
