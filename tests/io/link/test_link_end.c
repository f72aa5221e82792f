/* The end of a bridge whose signals and track power are on another server: all is switched off
 * there at once, and only a server that shows it is believed. */
#include "support/check.h"
#include "support/io/link_stage.h"

static void assert_all_off(const struct link_peer *peer) {
    assert_int_equal(peer_shows(peer, "GA 11 0"), 1);
    assert_int_equal(peer_shows(peer, "GA 11 1"), 0);
    assert_int_equal(peer_shows(peer, "GA 12 0"), 1);
    assert_int_equal(peer_shows(peer, "GA 12 1"), 0);
    assert_int_equal(peer_shows(peer, "GA 3 0"), 0);
    assert_int_equal(peer_shows(peer, "POWER"), 0);
}

static void line_up(struct link_stage *stage) {
    link_stage_init(stage);
    link_stage_line(stage);
    stage->may_disagree = true;
}

/* The peer's turns between looks of settle(), none of which waits. The link's own loop stands. */
static bool settles(struct link_stage *stage) {
    bool is_settled = false;
    for (int turn = 0; turn < 500 && !is_settled; turn++) {
        turning_settle(&stage->peer_turning);
        is_settled = stage->ops->settle(stage->port, 0);
    }
    return is_settled;
}

static void s7_all_is_sent_before_safe_returns(void **state) {
    (void)state;
    struct link_stage stage;
    line_up(&stage);
    assert_false(stage.ops->safe(stage.port)); /* not known yet */
    stage.ops->close(stage.port);
    stage.port = NULL;
    link_stage_settle(&stage);
    assert_all_off(&stage.peer);
    link_stage_close(&stage);
}

static void end_is_safe_when_the_server_shows_it(void **state) {
    (void)state;
    struct link_stage stage;
    line_up(&stage);
    assert_false(stage.ops->safe(stage.port));
    assert_false(stage.ops->settle(stage.port, 0)); /* the peer has not had a turn */
    assert_true(settles(&stage));
    assert_all_off(&stage.peer);
    link_stage_close(&stage);
}

/* The reply to the request that is under way comes first; those to "off" are told apart from it. */
static void end_in_the_middle_of_a_request_is_proved(void **state) {
    (void)state;
    struct link_stage stage;
    line_up(&stage);
    stage.outputs.horn = true;
    stage.ops->act(stage.port, stage.now_us, &stage.outputs);
    assert_false(stage.ops->safe(stage.port));
    assert_false(stage.ops->safe(stage.port)); /* twice is no harm */
    assert_true(settles(&stage));
    assert_all_off(&stage.peer);
    link_stage_close(&stage);
}

/* Nothing else is asked before the last of them. */
static void replies_may_come_one_by_one(void **state) {
    (void)state;
    struct link_stage stage;
    line_up(&stage);
    stage.peer.is_mute = true;
    assert_false(stage.ops->safe(stage.port));
    unsigned lines = stage.peer.lines;
    turning_settle(&stage.peer_turning);
    assert_int_equal(stage.peer.lines - lines, 4); /* two signals, power, the horn */
    for (int reply = 0; reply < 3; reply++) {
        peer_say_command(&stage.peer, "7.000 200 OK\n");
        turning_settle(&stage.peer_turning);
        assert_false(stage.ops->settle(stage.port, 0));
    }
    stage.peer.is_mute = false;
    peer_say_command(&stage.peer, "7.000 200 OK\n");
    assert_true(settles(&stage));
    link_stage_close(&stage);
}

static void refuses_a_signal(struct link_peer *peer) {
    peer->refuses = "SET 1 GA 12 0";
}

static void refuses_power(struct link_peer *peer) {
    peer->refuses = "SET 1 POWER OFF";
}

static void says_ok_and_leaves_power_on(struct link_peer *peer) {
    peer->disobeys = "SET 1 POWER OFF";
}

static void says_ok_and_lies_when_asked(struct link_peer *peer) {
    peer->ignores_sets = true;
    peer->answers_as_asked = true;
}

static void hides_it(struct link_peer *peer) {
    peer->hides_changes = true;
}

static void is_mute(struct link_peer *peer) {
    peer->is_mute = true;
}

static void hangs_up(struct link_peer *peer) {
    peer_hang_up(peer);
}

static void hangs_up_info(struct link_peer *peer) {
    peer_hang_up_info(peer);
}

static void end_is_not_safe_on_the_word_of(const char *name, void (*begin)(struct link_peer *)) {
    struct link_stage stage;
    line_up(&stage);
    begin(&stage.peer);
    if (stage.ops->safe(stage.port) || settles(&stage) || stage.ops->settle(stage.port, 1000)) {
        fail_msg("believed a server that %s", name);
    }
    link_stage_close(&stage);
}

static void s7_end_is_not_safe_while_the_server_does_not_show_it(void **state) {
    (void)state;
    end_is_not_safe_on_the_word_of("refuses a signal", refuses_a_signal);
    end_is_not_safe_on_the_word_of("refuses power", refuses_power);
    end_is_not_safe_on_the_word_of("leaves power on", says_ok_and_leaves_power_on);
    end_is_not_safe_on_the_word_of("lies", says_ok_and_lies_when_asked);
    end_is_not_safe_on_the_word_of("hides changes", hides_it);
    end_is_not_safe_on_the_word_of("is mute", is_mute);
    end_is_not_safe_on_the_word_of("hangs up", hangs_up);
    end_is_not_safe_on_the_word_of("hangs up INFO", hangs_up_info);
}

/* The horn is off, and its "off" is refused: somebody else may switch it on. Each reply belongs to
 * its own device: what another is refused is sent again with the next beat, and taken then. */
static void s7_what_was_refused_is_not_safe_because_it_is_off(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    stage.config->bridge[0].link[0].beat_us = 20000;
    link_stage_line(&stage);
    stage.peer.refuses = "SET 1 GA 3 0 0";
    assert_false(stage.ops->safe(stage.port));
    for (int turn = 0; turn < 100; turn++) {
        turning_settle(&stage.peer_turning);
        assert_false(stage.ops->settle(stage.port, 1000));
    }
    stage.peer.refuses = NULL;
    bool is_settled = false;
    for (int turn = 0; turn < 10000 && !is_settled; turn++) {
        turning_settle(&stage.peer_turning);
        is_settled = stage.ops->settle(stage.port, 1000);
    }
    assert_true(is_settled);
    link_stage_close(&stage);
}

static void server_that_was_never_there_is_not_waited_for(void **state) {
    (void)state;
    struct link_stage stage;
    link_stage_init(&stage);
    peer_close_door(&stage.peer);
    link_stage_open(&stage);
    assert_false(stage.ops->safe(stage.port));
    assert_false(stage.ops->settle(stage.port, UINT32_MAX)); /* over an hour, if it waited */
    link_stage_close(&stage);
}

static void crash_sends_off_for_every_device(void **state) {
    (void)state;
    struct link_stage stage;
    line_up(&stage);
    stage.peer.heard[0] = '\0';
    stage.ops->crash_safe(stage.port);
    turning_settle(&stage.peer_turning);
    assert_all_off(&stage.peer);
    link_stage_close(&stage);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(s7_all_is_sent_before_safe_returns),
        cmocka_unit_test(end_is_safe_when_the_server_shows_it),
        cmocka_unit_test(end_in_the_middle_of_a_request_is_proved),
        cmocka_unit_test(replies_may_come_one_by_one),
        cmocka_unit_test(s7_end_is_not_safe_while_the_server_does_not_show_it),
        cmocka_unit_test(s7_what_was_refused_is_not_safe_because_it_is_off),
        cmocka_unit_test(server_that_was_never_there_is_not_waited_for),
        cmocka_unit_test(crash_sends_off_for_every_device),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
