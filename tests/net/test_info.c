/* Information mode: the dump, then every change once. Line forms recalled from SRCP 0.8.4, from
 * memory; the order of the dump and the server's own messages are our decisions. */
#include "core/words/names.h"
#include "protocol/request.h"
#include "support/check.h"
#include "support/net/net_stage.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static struct net_stage stage;

static int open_stage(void **state) {
    (void)state;
    stage_init(&stage, 1);
    stage_open(&stage);
    return 0;
}

static int close_stage(void **state) {
    (void)state;
    stage_close(&stage);
    return 0;
}

static struct net_client *go_to_info(void) {
    struct net_client *client = stage_connect(&stage, OBSERVES);
    client_line(&stage, client);
    client_ask(&stage, client, "SET CONNECTIONMODE SRCP INFO", "202 OK CONNECTIONMODE");
    client_send(&stage, client, "GO\n");
    return client;
}

static void dump_tells_everything_in_its_order(void **state) {
    (void)state;
    static const char *const dump[] = {
        "1002.000 200 OK GO 2",
        "1000.000 100 INFO 0 DESCRIPTION TIME SESSION SERVER DESCRIPTION GM",
        "1000.000 100 INFO 0 SERVER RUNNING",
        "1000.000 101 INFO 0 SESSION 1 COMMAND",
        "1002.000 101 INFO 0 SESSION 2 INFO",
        "1000.000 101 INFO 0 TIME 12 1",
        "1002.000 100 INFO 0 TIME 0 0 0 24",
        "1000.000 100 INFO 1 DESCRIPTION GA FB POWER LOCK DESCRIPTION",
        "1000.000 101 INFO 1 GA 1 P span",
        "1001.000 100 INFO 1 GA 1 0 0",
        "1001.000 100 INFO 1 GA 1 1 1",
        "1000.000 100 INFO 1 GA 1 2 0",
        "1000.000 100 INFO 1 GA 1 3 0",
        "1000.000 100 INFO 1 GA 1 4 0",
        "1000.000 100 INFO 1 GA 1 5 0",
        "1000.000 100 INFO 1 GA 1 6 0",
        "1000.000 100 INFO 1 GA 1 7 0",
        "1000.000 100 INFO 1 GA 1 8 0",
        "1000.000 100 INFO 1 GA 1 9 0",
        "1000.000 100 INFO 1 GA 1 10 0",
        "1000.000 100 INFO 1 GA 1 11 0",
        "1000.000 100 INFO 1 GA 1 12 0",
        "1000.000 100 INFO 1 GA 1 13 0",
        "1000.000 101 INFO 1 GA 2 P lock",
        "1000.000 100 INFO 1 GA 2 0 0",
        "1000.000 100 INFO 1 GA 2 1 1",
        "1000.000 101 INFO 1 GA 3 P horn",
        "1000.000 100 INFO 1 GA 3 0 0",
        "1000.000 101 INFO 1 GA 4 P river",
        "1000.000 100 INFO 1 GA 4 0 1",
        "1000.000 100 INFO 1 GA 4 1 0",
        "1000.000 101 INFO 1 GA 11 P signal main west",
        "1000.000 100 INFO 1 GA 11 0 1",
        "1000.000 100 INFO 1 GA 11 1 0",
        "1000.000 101 INFO 1 GA 12 P signal main east",
        "1000.000 100 INFO 1 GA 12 0 1",
        "1000.000 100 INFO 1 GA 12 1 0",
        "1000.000 101 INFO 1 FB 1 P seated",
        "1000.000 100 INFO 1 FB 1 1",
        "1000.000 101 INFO 1 FB 2 P locked",
        "1000.000 100 INFO 1 FB 2 1",
        "1000.000 101 INFO 1 FB 3 P open",
        "1000.000 100 INFO 1 FB 3 0",
        "1000.000 101 INFO 1 FB 4 P moving",
        "1000.000 100 INFO 1 FB 4 0",
        "1000.000 101 INFO 1 FB 5 P lined",
        "1001.000 100 INFO 1 FB 5 0",
        "1000.000 101 INFO 1 FB 6 P fault",
        "1000.000 100 INFO 1 FB 6 0",
        "1000.000 101 INFO 1 FB 101 P approach main west",
        "1000.000 100 INFO 1 FB 101 0",
        "1000.000 101 INFO 1 FB 102 P stop main west",
        "1000.000 100 INFO 1 FB 102 0",
        "1000.000 101 INFO 1 FB 103 P span main",
        "1000.000 100 INFO 1 FB 103 0",
        "1000.000 101 INFO 1 FB 104 P stop main east",
        "1000.000 100 INFO 1 FB 104 0",
        "1000.000 101 INFO 1 FB 105 P approach main east",
        "1000.000 100 INFO 1 FB 105 0",
        "1000.000 101 INFO 1 POWER",
        "1000.000 100 INFO 1 POWER ON",
        "1001.000 100 INFO 1 LOCK GA 1 0 0",
        "1000.000 100 INFO 1 LOCK GA 3 60 1",
        "1001.000 100 INFO 1 LOCK GA 11 0 0",
        "1001.000 100 INFO 1 LOCK GA 12 0 0",
        "1002.000 100 INFO 0 GM 0 0 GUARD 1 by-time S3,S4 home signal main west, main east at "
        "stop: commanded to stop continuously, 0 s",
        "1002.000 100 INFO 0 GM 0 0 GUARD 1 by-time S2,S3,S4 stop section main west, main east "
        "without power: commanded off continuously, 0 s",
        "1002.000 100 INFO 0 GM 0 0 GUARD 1 by-time S2,S3,S4 span section main without power: "
        "commanded off continuously, 0 s",
        "1002.000 100 INFO 0 GM 0 0 GUARD 1 proved S1,S2 rail ends in line: the seated contact "
        "alone",
        "1002.000 100 INFO 0 GM 0 0 GUARD 1 by-word S4 lock bar worked by hand: the person at the "
        "bar waits until the bridge says so",
        "1002.000 100 INFO 0 GM 0 0 GUARD 1 proved S5 seated contact that sticks made: the nearly "
        "seated contact or the measured position, which contradict it",
        "1002.000 100 INFO 0 GM 0 0 GUARD 1 proved S5 lift that is blocked: the measured position",
        "1002.000 100 INFO 0 GM 0 0 GUARD 1 by-word S9 stop that needs no network: a client's "
        "request, over a network",
        "1002.000 100 INFO 0 GM 0 0 MOTION 1 0.0 deg 0.00 deg/s - A 0.0 V -",
    };
    struct net_client *client = stage_commander(&stage, OPERATES);
    client_ask(&stage, client, "INIT 0 TIME 12 1", "200 OK");
    client_ask(&stage, client, "SET 1 LOCK GA 3 60", "200 OK");
    stage_pass_s(&stage, 1);
    fake_host_cycle(&stage.host, 0, fake_starts_clearing);
    stage_pass_s(&stage, 1);
    struct net_client *listener = go_to_info();
    for (size_t i = 0; i < sizeof dump / sizeof dump[0]; i++) {
        client_expect_whole(&stage, listener, dump[i]);
    }
    const char *phase = "1002.000 100 INFO 0 GM 0 0 PHASE 1 clearing up ";
    assert_memory_equal(client_line(&stage, listener), phase, strlen(phase));
    client_expect_nothing(&stage, listener);
}

static void dump_tells_a_latched_fault(void **state) {
    (void)state;
    fake_host_cycle(&stage.host, 0, fake_is_at_fault);
    struct net_client *listener = go_to_info();
    while (strstr(client_line(&stage, listener), " MOTION ") == NULL) {
    }
    char fault[200];
    snprintf(fault, sizeof fault, "100 INFO 0 GM 0 0 FAULT 1 stall %s",
             bridge_fault_text(FAULT_STALL));
    client_expect(&stage, listener, fault);
    assert_non_null(strstr(client_line(&stage, listener), " PHASE 1 fault none "));
}

static void believes_the_track_clear(struct bridge_view *view) {
    struct track_state *track = &view->state.track[0];
    track->span_clear = track->end[0].stop_clear = track->end[1].stop_clear =
        (struct watch){.is_running = true};
}

static void wants_a_signal_while_the_span_is_not_believed_clear(struct bridge_view *view) {
    believes_the_track_clear(view);
    view->state.track[0].end[0].is_proceed_wanted = true;
    view->state.track[0].span_clear.left_us = 4300000;
}

/* The bridge is lined, the request granted, and nothing moves: it is told what it waits for. */
static void signal_that_waits_is_told_with_the_phase(void **state) {
    (void)state;
    struct net_client *listener = stage_listener(&stage);
    fake_host_cycle(&stage.host, 0, wants_a_signal_while_the_span_is_not_believed_clear);
    client_expect(&stage, listener,
                  "100 INFO 0 GM 0 0 PHASE 1 lined none span section to be clear (main)");
    fake_host_cycle(&stage.host, 0, wants_a_signal_while_the_span_is_not_believed_clear);
    client_expect_nothing(&stage, listener);
    fake_host_cycle(&stage.host, 0, believes_the_track_clear);
    client_expect(&stage, listener, "100 INFO 0 GM 0 0 PHASE 1 lined none -");
}

static void change_is_told_once_and_stamped(void **state) {
    (void)state;
    struct net_client *listener = stage_listener(&stage);
    stage_pass_s(&stage, 5);
    stage_pass_us(&stage, 123456);
    fake_host_cycle(&stage.host, 0, fake_sees_train_approach);
    fake_host_cycle(&stage.host, 0, fake_sees_train_approach);
    stage_pass_s(&stage, 2);
    fake_host_cycle(&stage.host, 0, fake_sees_train_gone);
    client_expect_whole(&stage, listener, "1005.123 100 INFO 1 FB 101 1");
    client_expect_whole(&stage, listener, "1007.123 100 INFO 1 FB 101 0");
    client_expect_nothing(&stage, listener);
}

static void changes_of_one_cycle_come_in_the_order_of_the_dump(void **state) {
    (void)state;
    static const char *const lines[] = {
        "100 INFO 1 GA 1 0 0",       "100 INFO 1 GA 1 1 1",  "100 INFO 1 GA 2 0 1",
        "100 INFO 1 GA 2 1 0",       "100 INFO 1 GA 4 0 0",  "100 INFO 1 GA 4 1 1",
        "100 INFO 1 FB 1 0",         "100 INFO 1 FB 2 0",    "100 INFO 1 FB 3 1",
        "100 INFO 1 FB 5 0",         "100 INFO 1 POWER OFF", "100 INFO 1 LOCK GA 11 0 0",
        "100 INFO 1 LOCK GA 12 0 0",
    };
    struct net_client *listener = stage_listener(&stage);
    fake_host_cycle(&stage.host, 0, fake_is_open);
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        client_expect(&stage, listener, lines[i]);
    }
    assert_non_null(strstr(client_line(&stage, listener), " GM 0 0 PHASE 1 open none "));
    client_expect_nothing(&stage, listener);
}

static void every_session_is_told_the_same(void **state) {
    (void)state;
    enum { LISTENERS = 60 };
    struct net_client *listeners[LISTENERS];
    for (int i = 0; i < LISTENERS; i++) {
        listeners[i] = stage_listener(&stage);
    }
    fake_host_cycle(&stage.host, 0, fake_sees_train_approach);
    fake_host_cycle(&stage.host, 0, fake_sees_train_gone);
    for (int i = 0; i < LISTENERS; i++) {
        for (int later = i + 1; later < LISTENERS; later++) {
            char line[64];
            snprintf(line, sizeof line, "101 INFO 0 SESSION %d INFO", later + 1);
            client_expect(&stage, listeners[i], line);
        }
        client_expect(&stage, listeners[i], "100 INFO 1 FB 101 1");
        client_expect(&stage, listeners[i], "100 INFO 1 FB 101 0");
        client_expect_nothing(&stage, listeners[i]);
    }
}

static void set_shows_as_its_effect_and_only_if_there_is_one(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    struct net_client *listener = stage_listener(&stage);
    client_ask(&stage, client, "SET 1 GA 11 1 1 -1", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 GA 11 0 0");
    client_expect(&stage, listener, "100 INFO 1 GA 11 1 1");
    client_ask(&stage, client, "SET 1 GA 11 1 1 -1", "200 OK"); /* already there */
    client_ask(&stage, client, "INIT 1 GA 11 P", "200 OK");
    client_ask(&stage, client, "SET 1 GA 11 7 1 -1", "412 ERROR wrong value");
    client_ask(&stage, client, "GET 1 GA 11 1", "100 INFO 1 GA 11 1 1");
    client_expect_nothing(&stage, listener);
}

static void automatic_0_is_told(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    struct net_client *listener = stage_listener(&stage);
    client_ask(&stage, client, "SET 1 GA 3 0 1 1500", "200 OK");
    client_expect_whole(&stage, listener, "1000.000 100 INFO 1 GA 3 0 1");
    stage_pass_us(&stage, 1500000);
    client_expect_whole(&stage, listener, "1001.500 100 INFO 1 GA 3 0 0");
}

static void power_keeps_the_words_it_was_set_with(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    struct net_client *listener = stage_listener(&stage);
    client_ask(&stage, client, "SET 1 POWER OFF  out to lunch", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 POWER OFF out to lunch");
    client_ask(&stage, client, "GET 1 POWER", "100 INFO 1 POWER OFF out to lunch");
    client_ask(&stage, client, "SET 1 POWER OFF out to lunch", "200 OK"); /* the same */
    stage.host.answer = ANSWER_NOT_LINED;
    client_ask(&stage, client, "SET 1 POWER ON back", "413 ERROR temporarily prohibited");
    assert_non_null(strstr(client_line(&stage, listener), " GM 0 0 REFUSED 1 POWER 0 1 "));
    client_ask(&stage, client, "GET 1 POWER", "100 INFO 1 POWER OFF out to lunch");
    stage.host.answer = ANSWER_GRANTED;
    client_ask(&stage, client, "SET 1 POWER OFF derailment", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 POWER OFF derailment");
    client_ask(&stage, client, "SET 1 POWER ON", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 POWER ON");
    client_ask(&stage, client, "SET 1 POWER ON by hand", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 POWER ON by hand");
    fake_host_cycle(&stage.host, 0, fake_is_at_fault); /* off by itself: no words */
    client_ask(&stage, client, "GET 1 POWER", "100 INFO 1 POWER OFF");
}

static void text_of(const char *before, size_t length, char line[2048]) {
    snprintf(line, 2048, "%s%0*d", before, (int)length, 0);
}

/* As long as may be, and nothing of it is lost; one more, and nothing of it is done. */
static void words_are_told_whole_or_refused(void **state) {
    (void)state;
    static const struct {
        const char *request, *news;
        size_t longest;
    } cases[] = {
        {"SET 1 POWER OFF ", "100 INFO 1 POWER OFF ", SRCP_FREE_TEXT_MAX},
        {"SET 0 GM 0 2147483647 NOTE ", "100 INFO 0 GM 0 2147483647 NOTE ",
         SRCP_FREE_TEXT_MAX - sizeof "NOTE"},
    };
    struct net_client *client = stage_commander(&stage, OPERATES);
    struct net_client *listener = stage_listener(&stage);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char line[2048];
        text_of(cases[i].request, cases[i].longest + 1, line);
        client_ask(&stage, client, line, "418 ERROR list too long");
        text_of(cases[i].request, cases[i].longest, line);
        client_ask(&stage, client, line, "200 OK");
        text_of(cases[i].news, cases[i].longest, line);
        client_expect(&stage, listener, line);
    }
    char whole[2048];
    text_of("100 INFO 1 POWER OFF ", SRCP_FREE_TEXT_MAX, whole);
    client_ask(&stage, client, "GET 1 POWER", whole);
}

static void refusal_is_explained_to_those_who_listen(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    struct net_client *listener = stage_listener(&stage);
    stage.host.answer = ANSWER_FAULT;
    client_ask(&stage, client, "SET 1 GA 1 1 1 -1", "413 ERROR temporarily prohibited");
    const char *said =
        strstr(client_line(&stage, listener), " 100 INFO 0 GM 0 0 REFUSED 1 GA 1 1 ");
    assert_non_null(said);
    assert_true(strlen(said) > strlen(" 100 INFO 0 GM 0 0 REFUSED 1 GA 1 1 "));
    stage.host.answer = ANSWER_GRANTED;
    stage.host.simulate_fault = "no train named goods";
    struct net_client *admin = stage_commander(&stage, ADMINISTERS);
    client_expect(&stage, listener, "101 INFO 0 SESSION 3 COMMAND");
    client_ask(&stage, admin, "SET 0 GM 0 0 SIMULATE 1 train goods start", "412 ERROR wrong value");
    client_expect(&stage, listener, "100 INFO 0 GM 0 0 REFUSED 1 GM 0 3 no train named goods");
}

static void fault_and_its_end_are_told(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    struct net_client *listener = stage_listener(&stage);
    fake_host_cycle(&stage.host, 0, fake_is_at_fault);
    while (strstr(client_line(&stage, listener), " GM ") == NULL) {
    }
    assert_non_null(strstr(listener->line, " GM 0 0 FAULT 1 stall "));
    client_line(&stage, listener); /* PHASE */
    client_ask(&stage, client, "SET 1 GA 1 4 1 -1", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 FB 6 0");
    client_expect(&stage, listener, "100 INFO 0 GM 0 0 FAULT 1 none -");
    assert_non_null(strstr(client_line(&stage, listener), " GM 0 0 PHASE 1 unproved none "));
}

static void raises_at(struct bridge_view *view, double position_frac) {
    fake_is_open(view);
    view->state.phase = PHASE_RAISING;
    view->state.goal = GOAL_UP;
    view->state.contacts.open.believed = LEVEL_OFF;
    view->state.motion.position_frac = position_frac;
    view->state.motion.measured_frac_s = 2.0 / 75;
    view->outputs = (struct bridge_outputs){.lift_effort = 0.5, .river = RIVER_RED};
    view->inputs.current_a = 1.274;
}

static void raises_at_10_deg(struct bridge_view *view) {
    raises_at(view, 10.0 / 75);
}
static void raises_at_10_6_deg(struct bridge_view *view) {
    raises_at(view, 10.6 / 75);
}
static void raises_at_11_1_deg(struct bridge_view *view) {
    raises_at(view, 11.1 / 75);
}
static void rests_at_11_4_deg(struct bridge_view *view) {
    raises_at(view, 11.4 / 75);
    view->outputs.lift_effort = 0;
    view->inputs.current_a = NAN;
}
static void lowers_at_11_4_deg(struct bridge_view *view) {
    raises_at(view, 11.4 / 75);
    view->state.motion.measured_frac_s = -2.0 / 75;
    view->outputs.lift_effort = -0.5;
}
static void lowers_at_9_9_deg(struct bridge_view *view) {
    lowers_at_11_4_deg(view);
    view->state.motion.position_frac = 9.9 / 75;
}

static void expect_motion(struct net_client *listener, const char *words) {
    while (strstr(client_line(&stage, listener), " MOTION ") == NULL) {
    }
    assert_string_equal(strstr(listener->line, " MOTION ") + 1, words);
}

static void motion_is_told_at_whole_steps_and_at_rest(void **state) {
    (void)state;
    struct net_client *listener = stage_listener(&stage);
    fake_host_cycle(&stage.host, 0, raises_at_10_deg);
    fake_host_cycle(&stage.host, 0, raises_at_10_6_deg);
    fake_host_cycle(&stage.host, 0, raises_at_11_1_deg);
    expect_motion(listener, "MOTION 1 11.1 deg 2.00 deg/s 1.27 A 6.0 V -");
    fake_host_cycle(&stage.host, 0, rests_at_11_4_deg);
    expect_motion(listener, "MOTION 1 11.4 deg 0.00 deg/s - A 0.0 V -");
    fake_host_cycle(&stage.host, 0, rests_at_11_4_deg);
    fake_host_cycle(&stage.host, 0, lowers_at_11_4_deg);
    fake_host_cycle(&stage.host, 0, lowers_at_9_9_deg);
    expect_motion(listener, "MOTION 1 9.9 deg -2.00 deg/s 1.27 A 6.0 V -");
    client_expect_nothing(&stage, listener);
}

/* A span that is held fast has no steps to tell, and the current matters all the more. */
static void motion_is_told_twice_a_second_without_a_step(void **state) {
    (void)state;
    struct net_client *listener = stage_listener(&stage);
    fake_host_cycle(&stage.host, 0, raises_at_10_deg);
    stage_pass_us(&stage, 499999);
    fake_host_cycle(&stage.host, 0, raises_at_10_6_deg);
    stage_pass_us(&stage, 1);
    fake_host_cycle(&stage.host, 0, raises_at_10_deg);
    fake_host_cycle(&stage.host, 0, raises_at_10_6_deg);
    fake_host_cycle(&stage.host, 0, rests_at_11_4_deg);
    expect_motion(listener, "MOTION 1 10.0 deg 2.00 deg/s 1.27 A 6.0 V -");
    expect_motion(listener, "MOTION 1 11.4 deg 0.00 deg/s - A 0.0 V -");
}

static void raises_in_a_hand(struct bridge_view *view) {
    raises_at(view, 10.0 / 75);
    view->state.motion.direction = 1;
    view->state.motion.is_known = true;
    view->state.throttle = (struct throttle_state){.share = 0.4, .left_us = THROTTLE_US};
}
static void raises_slowed(struct bridge_view *view) {
    raises_in_a_hand(view);
    view->state.motion.position_frac = 74.0 / 75;
}

static void motion_tells_what_bounds_a_hand(void **state) {
    (void)state;
    struct net_stage own;
    stage_init(&own, 1);
    own.setup.bridge[0].setup.motion.full_speed_frac_s = 0.1;
    own.setup.bridge[0].setup.motion.creep_speed_frac_s = 0.02;
    own.setup.bridge[0].setup.motion.deceleration_frac_s2 = 0.1;
    own.setup.bridge[0].setup.motion.slow_zone_open_frac = 0.1;
    stage_open(&own);
    struct net_client *listener = stage_listener(&own);
    fake_host_cycle(&own.host, 0, raises_at_10_deg);
    fake_host_cycle(&own.host, 0, raises_slowed);
    while (strstr(client_line(&own, listener), " MOTION ") == NULL) {
    }
    assert_non_null(strstr(listener->line, " MOTION 1 74.0 deg 2.00 deg/s 1.27 A 6.0 V slowed"));
    fake_host_cycle(&own.host, 0, raises_in_a_hand);
    while (strstr(client_line(&own, listener), " MOTION ") == NULL) {
    }
    assert_non_null(strstr(listener->line, " MOTION 1 10.0 deg 2.00 deg/s 1.27 A 6.0 V hand"));
    stage_close(&own);
}

/* Lifted by hand: nobody knows of a motor. */
static void voltage_of_no_supply_is_not_known(void **state) {
    (void)state;
    struct net_stage own;
    stage_init(&own, 1);
    own.setup.bridge[0].supply_v = 0;
    stage_open(&own);
    struct net_client *listener = stage_listener(&own);
    fake_host_cycle(&own.host, 0, raises_at_10_deg);
    fake_host_cycle(&own.host, 0, rests_at_11_4_deg);
    while (strstr(client_line(&own, listener), " MOTION ") == NULL) {
    }
    assert_non_null(strstr(listener->line, " MOTION 1 11.4 deg 0.00 deg/s - A - V -"));
    stage_close(&own);
}

static void leaves_its_seat(struct bridge_view *view) {
    view->state.contacts.seated.believed = LEVEL_OFF;
}

static void place_that_is_no_longer_known_is_told(void **state) {
    (void)state;
    struct net_stage own;
    stage_init(&own, 1);
    own.setup.bridge[0].setup.is_hand_lifted = true;
    stage_open(&own);
    struct net_client *listener = stage_listener(&own);
    fake_host_cycle(&own.host, 0, leaves_its_seat);
    client_expect(&own, listener, "100 INFO 1 FB 1 0");
    client_expect(&own, listener, "100 INFO 0 GM 0 0 MOTION 1 - deg 0.00 deg/s - A 0.0 V -");
    fake_host_cycle(&own.host, 0, leaves_its_seat);
    client_expect_nothing(&own, listener);
    stage_close(&own);
}

static void model_minutes_are_told_to_those_who_listen(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    struct net_client *listener = stage_listener(&stage);
    client_ask(&stage, client, "INIT 0 TIME 60 1", "200 OK");
    client_expect(&stage, listener, "101 INFO 0 TIME 60 1");
    client_expect(&stage, listener, "100 INFO 0 TIME 0 0 0 0");
    client_ask(&stage, client, "SET 0 TIME 1 6 59 30", "200 OK");
    client_expect(&stage, listener, "100 INFO 0 TIME 1 6 59 30");
    stage_pass_us(&stage, 499999);
    client_expect_nothing(&stage, listener);
    stage_pass_us(&stage, 1);
    client_expect_whole(&stage, listener, "1000.500 100 INFO 0 TIME 1 7 0 0");
    stage_pass_s(&stage, 1);
    client_expect_whole(&stage, listener, "1001.500 100 INFO 0 TIME 1 7 1 0");
    client_ask(&stage, client, "TERM 0 TIME", "200 OK");
    client_expect(&stage, listener, "102 INFO 0 TIME");
    stage_pass_s(&stage, 10);
    client_expect_nothing(&stage, listener);
}

/* All in one turn: what is for one and what is for all keep their order. */
static void messages_for_one_and_for_all_keep_their_order(void **state) {
    (void)state;
    struct net_client *listener = stage_listener(&stage);
    struct net_client *sender = stage_commander(&stage, OPERATES);
    client_line(&stage, listener);
    client_send(&stage, sender,
                "SET 0 GM 0 0 A all\nSET 0 GM 1 0 B one\nSET 0 GM 0 0 C all\n"
                "SET 0 GM 1 0 D one\n");
    client_expect(&stage, listener, "100 INFO 0 GM 0 0 A all");
    client_expect(&stage, listener, "100 INFO 0 GM 1 0 B one");
    client_expect(&stage, listener, "100 INFO 0 GM 0 0 C all");
    client_expect(&stage, listener, "100 INFO 0 GM 1 0 D one");
    client_expect_nothing(&stage, listener);
}

static void messages_reach_whom_they_are_sent_to(void **state) {
    (void)state;
    struct net_client *first = stage_listener(&stage);
    struct net_client *second = stage_listener(&stage);
    struct net_client *client = stage_commander(&stage, OPERATES);
    client_expect(&stage, first, "101 INFO 0 SESSION 2 INFO");
    client_expect(&stage, first, "101 INFO 0 SESSION 3 COMMAND");
    client_expect(&stage, second, "101 INFO 0 SESSION 3 COMMAND");
    client_ask(&stage, client, "SET 0 GM 2 3 NOTE  boat at the  fender", "200 OK");
    client_expect(&stage, second, "100 INFO 0 GM 2 3 NOTE boat at the  fender");
    client_ask(&stage, client, "SET 0 GM 0 0 NOTE", "200 OK");
    client_expect(&stage, first, "100 INFO 0 GM 0 0 NOTE");
    client_expect(&stage, second, "100 INFO 0 GM 0 0 NOTE");
    net_server_say(stage.server, "TRAIN", "1 freight from west stops");
    client_expect(&stage, first, "100 INFO 0 GM 0 0 TRAIN 1 freight from west stops");
    client_expect_nothing(&stage, client); /* a command session gets no unasked line */
}

static void lines_of_an_info_client_are_ignored(void **state) {
    (void)state;
    struct net_client *listener = stage_listener(&stage);
    client_send(&stage, listener, "SET 1 GA 1 1 1 -1\nTERM 0 SESSION\nnonsense\n");
    client_expect_nothing(&stage, listener);
    assert_int_equal(stage.host.requests, 0);
    fake_host_cycle(&stage.host, 0, fake_sees_train_approach);
    client_expect(&stage, listener, "100 INFO 1 FB 101 1");
}

static void sessions_come_and_go_in_sight(void **state) {
    (void)state;
    struct net_client *listener = stage_listener(&stage);
    struct net_client *client = stage_commander(&stage, OPERATES);
    client_expect(&stage, listener, "101 INFO 0 SESSION 2 COMMAND");
    stage_pass_s(&stage, 3);
    client_leave(client, true);
    client_expect_whole(&stage, listener, "1003.000 102 INFO 0 SESSION 2");
    struct net_client *shy = stage_connect(&stage, OPERATES); /* no session before GO */
    client_leave(shy, false);
    client_expect_nothing(&stage, listener);
}

#define ON_STAGE(test) cmocka_unit_test_setup_teardown(test, open_stage, close_stage)

int main(void) {
    const struct CMUnitTest tests[] = {
        ON_STAGE(dump_tells_everything_in_its_order),
        ON_STAGE(dump_tells_a_latched_fault),
        ON_STAGE(signal_that_waits_is_told_with_the_phase),
        ON_STAGE(change_is_told_once_and_stamped),
        ON_STAGE(changes_of_one_cycle_come_in_the_order_of_the_dump),
        ON_STAGE(every_session_is_told_the_same),
        ON_STAGE(set_shows_as_its_effect_and_only_if_there_is_one),
        ON_STAGE(automatic_0_is_told),
        ON_STAGE(power_keeps_the_words_it_was_set_with),
        ON_STAGE(words_are_told_whole_or_refused),
        ON_STAGE(refusal_is_explained_to_those_who_listen),
        ON_STAGE(fault_and_its_end_are_told),
        ON_STAGE(motion_is_told_at_whole_steps_and_at_rest),
        ON_STAGE(motion_is_told_twice_a_second_without_a_step),
        cmocka_unit_test(motion_tells_what_bounds_a_hand),
        cmocka_unit_test(voltage_of_no_supply_is_not_known),
        cmocka_unit_test(place_that_is_no_longer_known_is_told),
        ON_STAGE(model_minutes_are_told_to_those_who_listen),
        ON_STAGE(messages_reach_whom_they_are_sent_to),
        ON_STAGE(messages_for_one_and_for_all_keep_their_order),
        ON_STAGE(lines_of_an_info_client_are_ignored),
        ON_STAGE(sessions_come_and_go_in_sight),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
