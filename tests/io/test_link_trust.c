/* A server that lies, stalls, closes, floods, or changes what is not its own to change. Whatever it
 * does, the bridge ends in its safe state with the fault named, and neither shows proceed nor
 * moves; once the server behaves, and an operator has acknowledged, it works again. */
#include "io/link/link.h"
#include "support/check.h"
#include "support/io/link_stage.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const uint64_t second = 1000000;

/* ---- misdeeds, each begun by its own function */

static void stalls(struct link_peer *peer) {
    peer->is_mute = true;
}

static void closes(struct link_peer *peer) {
    peer_hang_up(peer);
}

static void closes_its_door(struct link_peer *peer) {
    peer_close_door(peer);
    peer_hang_up(peer);
}

static void closes_in_the_middle_of_a_line(struct link_peer *peer) {
    peer->breaks_off_after = 13;
}

static void floods_info(struct link_peer *peer) {
    for (int i = 0; i < LINK_FLOOD_BYTES / 24 + 100; i++) {
        peer_say_info(peer, "7.000 100 INFO 1 FB 9 1\n");
    }
}

static void floods_without_line_ends(struct link_peer *peer) {
    for (int i = 0; i < 200; i++) {
        peer_say_info(peer, "aaaaaaaaaaaaaaaaaaaa");
    }
    peer_say_info(peer, "\n");
}

static void floods_replies(struct link_peer *peer) {
    peer_say_command(peer, "7.000 200 OK\n7.000 200 OK\n7.000 200 OK\n");
}

static void says_what_is_no_line(struct link_peer *peer) {
    peer_say_info(peer, "hello\n");
}

static void says_bytes_that_are_no_text(struct link_peer *peer) {
    peer_say_info(peer, "7.000 100 INFO 1 FB 106 \001\n");
}

static void puts_a_signal_to_proceed(struct link_peer *peer) {
    peer_change(peer, "GA 11 0", 0);
    peer_change(peer, "GA 11 1", 1);
}

static void puts_a_signal_to_stop(struct link_peer *peer) {
    peer_change(peer, "GA 12 1", 0);
    peer_change(peer, "GA 12 0", 1);
}

static void shows_stop_and_proceed_at_once(struct link_peer *peer) {
    peer_change(peer, "GA 11 0", 1);
    peer_change(peer, "GA 11 1", 1);
}

static void switches_power(struct link_peer *peer) {
    peer_change(peer, "POWER", 1 - peer_shows(peer, "POWER"));
}

static void tells_a_wrong_value(struct link_peer *peer) {
    peer_say_info(peer, "7.000 100 INFO 1 FB 106 7\n");
}

static void tells_no_number(struct link_peer *peer) {
    peer_say_info(peer, "7.000 100 INFO 1 FB 102 clear\n");
}

static void takes_a_device_away(struct link_peer *peer) {
    peer_say_info(peer, "7.000 102 INFO 1 FB 104\n");
}

static void takes_a_signal_away(struct link_peer *peer) {
    peer_say_info(peer, "7.000 102 INFO 1 GA 11\n");
}

static void gives_the_lock_to_another(struct link_peer *peer) {
    peer->refuses = "SET 1 LOCK GA 12";
    peer_say_info(peer, "7.000 100 INFO 1 LOCK GA 12 60 99\n");
}

static void ends_the_lock_and_gives_it_no_more(struct link_peer *peer) {
    peer->refuses = "SET 1 LOCK GA 11";
    peer_say_info(peer, "7.000 102 INFO 1 LOCK GA 11\n");
}

/* INFO hides that a detector was occupied, or that a signal moved: GET, asked in turn, tells. */
static void hides_a_train(struct link_peer *peer) {
    peer->hides_changes = true;
    peer_change(peer, "FB 106", 1);
}

static void hides_a_signal(struct link_peer *peer) {
    peer->hides_changes = true;
    peer_change(peer, "GA 11 1", 1 - peer_shows(peer, "GA 11 1"));
}

static void answers_another_question(struct link_peer *peer) {
    peer->answers_another = true;
}

static void refuses_get(struct link_peer *peer) {
    peer->refuses = "GET 1 FB 106";
}

struct misdeed {
    const char *name;
    void (*begin)(struct link_peer *peer);
    enum bridge_fault fault; /* while lined; FAULT_NONE: a restriction without a fault */
    bool is_of_devices;      /* they may be seen unsafe before the bridge can know of it */
};

static const struct misdeed misdeeds[] = {
    {"stalls", stalls, FAULT_DEVICE_LOST, false},
    {"closes", closes, FAULT_DEVICE_LOST, false},
    {"closes its door", closes_its_door, FAULT_DEVICE_LOST, false},
    {"closes mid-line", closes_in_the_middle_of_a_line, FAULT_DEVICE_LOST, false},
    {"floods INFO", floods_info, FAULT_DEVICE_LOST, false},
    {"floods without line ends", floods_without_line_ends, FAULT_DEVICE_LOST, false},
    {"floods replies", floods_replies, FAULT_DEVICE_LOST, false},
    {"no line", says_what_is_no_line, FAULT_DEVICE_LOST, false},
    {"no text", says_bytes_that_are_no_text, FAULT_DEVICE_LOST, false},
    {"stop behind our back", puts_a_signal_to_stop, FAULT_DEVICE_LOST, true},
    {"stop and proceed", shows_stop_and_proceed_at_once, FAULT_DEVICE_LOST, true},
    {"power behind our back", switches_power, FAULT_DEVICE_LOST, true},
    {"wrong value", tells_a_wrong_value, FAULT_INPUT_LOST, false},
    {"no number", tells_no_number, FAULT_INPUT_LOST, false},
    {"device gone", takes_a_device_away, FAULT_INPUT_LOST, false},
    {"signal gone", takes_a_signal_away, FAULT_DEVICE_LOST, false},
    {"lock to another", gives_the_lock_to_another, FAULT_DEVICE_LOST, false},
    {"lock refused", ends_the_lock_and_gives_it_no_more, FAULT_DEVICE_LOST, false},
    {"hidden train", hides_a_train, FAULT_DEVICE_LOST, false},
    {"hidden signal", hides_a_signal, FAULT_DEVICE_LOST, true},
    {"GET refused", refuses_get, FAULT_DEVICE_LOST, false},
    {"another answer", answers_another_question, FAULT_DEVICE_LOST, false},
};

enum { MISDEEDS = sizeof misdeeds / sizeof misdeeds[0] };

static void assert_safe(const struct link_stage *stage, const char *name) {
    static const struct bridge_outputs safe = {0};
    struct bridge_outputs outputs = stage->outputs;
    outputs.horn = false;
    outputs.river = RIVER_RED;
    if (memcmp(&outputs, &safe, sizeof safe) != 0) {
        fail_msg("%s: outputs are not safe", name);
    }
}

/* Takes back all bad manners, and what the misdeed left behind. */
static void mend(struct link_stage *stage) {
    struct link_peer *peer = &stage->peer;
    peer->is_mute = peer->ignores_sets = peer->hides_changes = peer->answers_as_asked = false;
    peer->answers_another = peer->refuses_mode = false;
    peer->refuses = peer->disobeys = peer->greeting = peer->go = NULL;
    peer->breaks_off_after = 0;
    if (peer->listener == NULL) {
        peer_open_door(peer);
    }
    static const char *const detectors[] = {"FB 106", "FB 102", "FB 104", "FB 105"};
    for (size_t i = 0; i < sizeof detectors / sizeof detectors[0]; i++) {
        char line[64];
        peer_change(peer, detectors[i], 0);
        snprintf(line, sizeof line, "7.000 100 INFO 1 %s 0\n", detectors[i]);
        peer_say_info(peer, line);
    }
    peer_say_info(peer, "7.000 100 INFO 1 GA 11 0 1\n7.000 100 INFO 1 GA 11 1 0\n");
}

static void assert_recovers(struct link_stage *stage, const char *name) {
    mend(stage);
    link_stage_run_for(stage, 120 * second);
    if (link_stage_ask(stage, REQUEST_ACKNOWLEDGE) != ANSWER_GRANTED) {
        fail_msg("%s: cannot be acknowledged once mended", name);
    }
    if (stage->inputs.seated != LEVEL_ON) {
        link_stage_ask(stage, REQUEST_LOWER);
    }
    if (!link_stage_run_to(stage, PHASE_LINED, 60 * second)) {
        fail_msg("%s: not lined again", name);
    }
    link_stage_run_for(stage, 5 * second);
    if (stage->state.phase != PHASE_LINED || peer_shows(&stage->peer, "GA 11 1") != 1) {
        fail_msg("%s: lined, but its signals do not clear", name);
    }
}

static void s5_misdeeds_while_lined_put_signals_to_stop(void **state) {
    (void)state;
    for (unsigned i = 0; i < MISDEEDS; i++) {
        struct link_stage stage;
        link_stage_init(&stage);
        link_stage_line(&stage);
        misdeeds[i].begin(&stage.peer);
        link_stage_settle(&stage);
        if (!link_stage_run_to(&stage, PHASE_FAULT, 15 * second)) {
            fail_msg("%s: no fault", misdeeds[i].name);
        }
        if (stage.state.fault != misdeeds[i].fault) {
            fail_msg("%s: fault %d", misdeeds[i].name, (int)stage.state.fault);
        }
        assert_safe(&stage, misdeeds[i].name);
        link_stage_run_for(&stage, 10 * second);
        assert_safe(&stage, misdeeds[i].name);
        assert_recovers(&stage, misdeeds[i].name);
        link_stage_close(&stage);
    }
}

static void s3_misdeeds_while_it_rises_stop_the_lift(void **state) {
    (void)state;
    for (unsigned i = 0; i < MISDEEDS; i++) {
        struct link_stage stage;
        link_stage_init(&stage);
        link_stage_line(&stage);
        link_stage_ask(&stage, REQUEST_RAISE);
        assert_true(link_stage_run_to(&stage, PHASE_RAISING, 60 * second));
        link_stage_run_for(&stage, second / 2);
        assert_true(stage.outputs.lift_effort > 0);
        stage.may_disagree = misdeeds[i].is_of_devices;
        if (misdeeds[i].begin == puts_a_signal_to_stop) { /* where it stands already */
            misdeeds[i + 1].begin(&stage.peer);
        } else {
            misdeeds[i].begin(&stage.peer);
        }
        link_stage_settle(&stage);
        if (!link_stage_run_to(&stage, PHASE_FAULT, 15 * second)) {
            fail_msg("%s: no fault", misdeeds[i].name);
        }
        assert_safe(&stage, misdeeds[i].name);
        link_stage_run_for(&stage, 5 * second);
        assert_safe(&stage, misdeeds[i].name);
        stage.may_disagree = false;
        assert_recovers(&stage, misdeeds[i].name);
        link_stage_close(&stage);
    }
}

/* At once, in the turn in which INFO tells it, not after some limit. */
static void s3_signal_that_clears_behind_our_back_stops_the_lift_at_once(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    link_stage_line(&stage);
    link_stage_ask(&stage, REQUEST_RAISE);
    assert_true(link_stage_run_to(&stage, PHASE_RAISING, 60 * second));
    link_stage_run_for(&stage, second / 2);
    puts_a_signal_to_proceed(&stage.peer);
    link_stage_settle(&stage); /* judges the peer: what was put to proceed must be at stop again */
    assert_int_equal(stage.state.phase, PHASE_FAULT);
    assert_true(stage.outputs.lift_effort == 0);
    assert_int_equal(peer_shows(&stage.peer, "GA 11 0"), 1);
    link_stage_close(&stage);
}

/* Power that its own server cut, for whatever reason, does not come back by our doing. */
static void power_cut_there_is_not_switched_on_again(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    link_stage_line(&stage);
    stage.peer.heard[0] = '\0';
    peer_change(&stage.peer, "POWER", 0);
    link_stage_run_for(&stage, 20 * second);
    assert_int_equal(stage.state.fault, FAULT_DEVICE_LOST);
    assert_null(strstr(stage.peer.heard, "POWER ON"));
    assert_int_equal(peer_shows(&stage.peer, "POWER"), 0);
    assert_int_equal(peer_shows(&stage.peer, "GA 11 1"), 0);
    link_stage_close(&stage);
}

/* ---- commands that are not obeyed */

struct liar {
    const char *name;
    bool ignores_sets, hides_changes, answers_as_asked;
    const char *refuses, *disobeys;
};

static const struct liar liars[] = {
    {"says OK and does nothing", true, false, false, NULL, NULL},
    {"says OK, does nothing, and swears to it", true, false, true, NULL, NULL},
    {"does it and tells no INFO", false, true, false, NULL, NULL},
    {"leaves one signal alone", false, false, false, NULL, "SET 1 GA 11 0 1"},
    {"leaves power on", false, false, false, NULL, "SET 1 POWER OFF"},
    {"refuses to stop a signal", false, false, false, "SET 1 GA 12 0 1", NULL},
    {"refuses to cut power", false, false, false, "SET 1 POWER OFF", NULL},
};

static void become_liar(struct link_peer *peer, const struct liar *liar) {
    peer->ignores_sets = liar->ignores_sets;
    peer->hides_changes = liar->hides_changes;
    peer->answers_as_asked = liar->answers_as_asked;
    peer->refuses = liar->refuses;
    peer->disobeys = liar->disobeys;
}

static void s3_nothing_moves_on_the_word_of_a_liar(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof liars / sizeof liars[0]; i++) {
        struct link_stage stage;
        link_stage_init(&stage);
        link_stage_line(&stage);
        become_liar(&stage.peer, &liars[i]);
        link_stage_ask(&stage, REQUEST_RAISE);
        uint64_t end_us = stage.now_us + 30 * second;
        while (stage.now_us < end_us) {
            link_stage_run_for(&stage, second / 10);
            if (stage.outputs.lift_effort != 0 || stage.outputs.lock == LOCK_DRIVE_WITHDRAWN) {
                fail_msg("it %s: the span is unlocked or moves", liars[i].name);
            }
        }
        if (stage.state.phase != PHASE_FAULT) {
            fail_msg("it %s: no fault", liars[i].name);
        }
        assert_recovers(&stage, liars[i].name);
        link_stage_close(&stage);
    }
}

/* At the start its signals show proceed: a bridge that cannot put them to stop stays as it is. */
static void s6_nothing_begins_with_a_liar(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof liars / sizeof liars[0]; i++) {
        struct link_stage stage;
        link_stage_init(&stage);
        become_liar(&stage.peer, &liars[i]);
        link_stage_open(&stage);
        for (unsigned tenths = 0; tenths < 100; tenths++) {
            link_stage_run_for(&stage, second / 10);
            if (!liars[i].hides_changes) { /* that one tells the truth to each new connection */
                assert_safe(&stage, liars[i].name);
                assert_true(stage.state.phase == PHASE_UNPROVED ||
                            stage.state.phase == PHASE_FAULT);
            }
        }
        assert_int_equal(stage.state.phase, PHASE_FAULT);
        assert_recovers(&stage, liars[i].name);
        link_stage_close(&stage);
    }
}

/* A detector's value that INFO has never told is not known, whatever GET answers. */
static void s5_value_never_told_is_not_known(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    struct link_setup *link = &stage.config->bridge[0].link[0];
    for (unsigned i = 0; i < link->inputs; i++) {
        if (link->input[i].at.group == LINK_FB && link->input[i].at.address == 106) {
            link->input[i].at.bus = 2; /* of which the peer says nothing, and has nothing */
        }
    }
    stage.peer.refuses = "GET 2 ";
    link_stage_open(&stage);
    link_stage_run_for(&stage, 20 * second);
    assert_int_equal(stage.state.phase, PHASE_FAULT);
    assert_safe(&stage, "never told");
    link_stage_close(&stage);
}

/* ---- connecting again */

static unsigned tries_in(struct link_stage *stage, uint64_t time_us) {
    unsigned before = stage->peer.connections;
    link_stage_run_for(stage, time_us);
    return stage->peer.connections - before;
}

static void pauses_double_and_have_an_end(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    stage.config->bridge[0].link[0].retry_most_us = 8000000;
    stage.peer.is_mute = true; /* takes connections, and says nothing */
    link_stage_open(&stage);
    /* Each try is two connections, and takes the reply limit, 1 s; then 0.5, 1, 2, 4, 8, 8 s. */
    unsigned first = tries_in(&stage, 10 * second);
    unsigned later = tries_in(&stage, 90 * second);
    assert_in_range(first, 6, 8);
    assert_in_range(later, 18, 22);
    stage.peer.is_mute = false;
    link_stage_run_for(&stage, 10 * second);
    assert_int_equal(stage.state.phase, PHASE_FAULT);
    assert_int_equal(link_stage_ask(&stage, REQUEST_ACKNOWLEDGE), ANSWER_GRANTED);
    assert_true(link_stage_run_to(&stage, PHASE_LINED, 10 * second));
    link_stage_close(&stage);
}

static void after_a_lost_link_the_safe_values_come_first(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    link_stage_line(&stage);
    peer_hang_up(&stage.peer); /* its devices stay as they were last set */
    assert_int_equal(peer_shows(&stage.peer, "POWER"), 1);
    link_stage_settle(&stage);
    assert_int_equal(stage.state.fault, FAULT_DEVICE_LOST);
    stage.peer.heard[0] = '\0';
    link_stage_run_for(&stage, 5 * second);
    const char *first = "SET 1 GA 11 0 1 -1|SET 1 POWER OFF|SET 1 GA 12 0 1 -1|";
    assert_int_equal(strncmp(stage.peer.heard, first, strlen(first)), 0);
    assert_int_equal(peer_shows(&stage.peer, "POWER"), 0);
    assert_null(strstr(stage.peer.heard, "POWER ON"));
    assert_int_equal(stage.state.phase, PHASE_FAULT); /* latched */
    link_stage_close(&stage);
}

/* Whoever is no longer told what a device does can still switch it off, and must: nobody else will
 * until the link is back. No time passes, so it is not the new connection that did it. */
static void what_can_still_be_switched_off_is_when_the_link_is_dropped(void **state) {
    (void)state;
    static void (*const of_info[])(struct link_peer *) = {says_what_is_no_line, floods_info,
                                                          peer_hang_up_info};
    for (size_t i = 0; i < sizeof of_info / sizeof of_info[0]; i++) {
        struct link_stage stage;
        link_stage_init(&stage);
        link_stage_line(&stage);
        unsigned connections = stage.peer.connections;
        of_info[i](&stage.peer);
        link_stage_settle(&stage);
        assert_int_equal(stage.state.fault, FAULT_DEVICE_LOST);
        assert_int_equal(peer_shows(&stage.peer, "GA 11 1"), 0);
        assert_int_equal(peer_shows(&stage.peer, "GA 12 1"), 0);
        assert_int_equal(peer_shows(&stage.peer, "POWER"), 0);
        assert_int_equal(stage.peer.connections, connections);
        link_stage_close(&stage);
    }
}

static void server_that_is_not_there_at_the_start_is_a_lost_device(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    peer_close_door(&stage.peer);
    link_stage_open(&stage);
    assert_int_equal(stage.state.phase, PHASE_UNPROVED);
    assert_true(link_stage_run_to(&stage, PHASE_FAULT, 5 * second));
    assert_safe(&stage, "not there");
    assert_recovers(&stage, "not there");
    link_stage_close(&stage);
}

static void s6_no_handshake_no_bridge(void **state) {
    (void)state;
    static const struct {
        const char *greeting, *go;
        bool refuses_mode;
    } cases[] = {
        {"yard 1; SRCP 0.7.3\n", NULL, false},
        {"SSH-2.0\n", NULL, false},
        {"yard 1; SRCP\n", NULL, false},
        {"\n\n\n", NULL, false},
        {NULL, "200 OK", false},
        {NULL, "200 OK GO 0", false},
        {NULL, "500 ERROR out of resources", false},
        {NULL, NULL, true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct link_stage stage;
        link_stage_init(&stage);
        stage.peer.greeting = cases[i].greeting;
        stage.peer.go = cases[i].go;
        stage.peer.refuses_mode = cases[i].refuses_mode;
        link_stage_open(&stage);
        assert_true(link_stage_run_to(&stage, PHASE_FAULT, 10 * second));
        assert_safe(&stage, "no handshake");
        assert_string_equal(stage.peer.heard, "");
        assert_recovers(&stage, "no handshake");
        link_stage_close(&stage);
    }
}

static void pause_is_short_again_after_a_link_in_order(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    peer_close_door(&stage.peer);
    link_stage_open(&stage);
    link_stage_run_for(&stage, 100 * second); /* by now it pauses for 30 s */
    peer_open_door(&stage.peer);
    link_stage_run_for(&stage, 31 * second);
    assert_false(stage.inputs.is_device_lost);
    peer_hang_up(&stage.peer);
    link_stage_run_for(&stage, second);
    assert_false(stage.inputs.is_device_lost);
    link_stage_close(&stage);
}

/* Nothing is switched on that is not locked, not even for a moment. */
static void s6_without_a_lock_nothing_runs(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    stage.peer.refuses = "SET 1 LOCK GA 12";
    link_stage_open(&stage);
    link_stage_run_for(&stage, 20 * second);
    assert_int_equal(stage.state.phase, PHASE_FAULT);
    assert_null(strstr(stage.peer.heard, "SET 1 GA 12 1 1"));
    assert_null(strstr(stage.peer.heard, "POWER ON"));
    assert_recovers(&stage, "no lock");
    link_stage_close(&stage);
}

/* A hang-up before the first acknowledgment, and another one in the middle of homing. */
static void link_lost_while_it_homes_begins_anew(void **state) {
    (void)state;
    for (int cut = 1; cut < 40; cut += 3) {
        struct link_stage stage;
        link_stage_init(&stage);
        stage.peer.breaks_off_after = cut % 12 + 1;
        link_stage_open(&stage);
        link_stage_run_for(&stage, 10 * second);
        if (stage.state.phase == PHASE_FAULT) {
            assert_int_equal(link_stage_ask(&stage, REQUEST_ACKNOWLEDGE), ANSWER_GRANTED);
        }
        assert_true(stage.state.phase == PHASE_LINED ||
                    link_stage_run_to(&stage, PHASE_LINED, 10 * second));
        link_stage_close(&stage);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(s5_misdeeds_while_lined_put_signals_to_stop),
        cmocka_unit_test(s3_misdeeds_while_it_rises_stop_the_lift),
        cmocka_unit_test(s3_signal_that_clears_behind_our_back_stops_the_lift_at_once),
        cmocka_unit_test(power_cut_there_is_not_switched_on_again),
        cmocka_unit_test(s3_nothing_moves_on_the_word_of_a_liar),
        cmocka_unit_test(s6_nothing_begins_with_a_liar),
        cmocka_unit_test(s5_value_never_told_is_not_known),
        cmocka_unit_test(pauses_double_and_have_an_end),
        cmocka_unit_test(after_a_lost_link_the_safe_values_come_first),
        cmocka_unit_test(what_can_still_be_switched_off_is_when_the_link_is_dropped),
        cmocka_unit_test(server_that_is_not_there_at_the_start_is_a_lost_device),
        cmocka_unit_test(s6_no_handshake_no_bridge),
        cmocka_unit_test(pause_is_short_again_after_a_link_in_order),
        cmocka_unit_test(s6_without_a_lock_nothing_runs),
        cmocka_unit_test(link_lost_while_it_homes_begins_anew),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
