/* LOCK: our rules where the protocol's text was not found; codes from memory. */
#include "support/check.h"
#include "support/net/net_stage.h"

#include <stdio.h>
#include <string.h>

static struct net_stage stage;
static struct net_client *holder;
static struct net_client *other;
static struct net_client *listener;

/* Sessions 1 and 2, and the one that listens: 3. */
static int open_stage(void **state) {
    (void)state;
    stage_init(&stage, 1);
    stage_open(&stage);
    holder = stage_commander(&stage, OPERATES);
    other = stage_commander(&stage, OPERATES);
    listener = stage_listener(&stage);
    return 0;
}

static int close_stage(void **state) {
    (void)state;
    stage_close(&stage);
    return 0;
}

static void lock_bars_the_others_from_setting_not_from_reading(void **state) {
    (void)state;
    client_ask(&stage, holder, "SET 1 LOCK GA 11 0", "200 OK");
    client_ask(&stage, other, "SET 1 GA 11 1 1 -1", "414 ERROR device locked");
    client_ask(&stage, other, "CHECK 1 GA 11 1 1 -1", "414 ERROR device locked");
    client_ask(&stage, other, "SET 1 GA 11 1 0 -1", "414 ERROR device locked");
    client_ask(&stage, other, "INIT 1 GA 11 P", "414 ERROR device locked");
    assert_int_equal(stage.host.requests, 0);
    client_ask(&stage, other, "GET 1 GA 11 1", "100 INFO 1 GA 11 1 0");
    client_ask(&stage, other, "WAIT 1 GA 11 1 0 5", "100 INFO 1 GA 11 1 0");
    client_ask(&stage, other, "SET 1 GA 12 1 1 -1", "200 OK");
    client_ask(&stage, holder, "SET 1 GA 11 1 1 -1", "200 OK");
    client_ask(&stage, holder, "INIT 1 GA 11 P", "200 OK");
}

/* S9: a stop acts in the same step, whoever holds a protocol lock. */
static void stops_act_under_anothers_lock(void **state) {
    (void)state;
    client_ask(&stage, holder, "SET 1 LOCK GA 1 0", "200 OK");
    client_ask(&stage, other, "SET 1 GA 1 0 1 -1", "414 ERROR device locked");
    client_ask(&stage, other, "SET 1 GA 1 1 1 -1", "414 ERROR device locked");
    client_ask(&stage, other, "SET 1 GA 1 4 1 -1", "414 ERROR device locked");
    assert_int_equal(stage.host.requests, 0);
    client_ask(&stage, other, "SET 1 GA 1 2 1 -1", "200 OK");
    assert_int_equal(stage.host.request.kind, REQUEST_STOP);
    client_ask(&stage, other, "SET 1 GA 1 3 1 -1", "200 OK");
    assert_int_equal(stage.host.request.kind, REQUEST_EMERGENCY_STOP);
    client_ask(&stage, other, "SET 1 POWER OFF", "200 OK");
    assert_int_equal(stage.host.request.kind, REQUEST_POWER_OFF);
}

static void lock_says_what_is_left_and_ends_by_itself(void **state) {
    (void)state;
    client_ask(&stage, holder, "SET 1 LOCK GA 1 10", "200 OK");
    client_expect_whole(&stage, listener, "1000.000 100 INFO 1 LOCK GA 1 10 1");
    stage_pass_s(&stage, 4);
    client_ask(&stage, other, "GET 1 LOCK GA 1", "100 INFO 1 LOCK GA 1 6 1");
    stage_pass_us(&stage, 500000);
    client_ask(&stage, other, "GET 1 LOCK GA 1", "100 INFO 1 LOCK GA 1 6 1");
    stage_pass_s(&stage, 5);
    client_ask(&stage, other, "SET 1 GA 1 1 1 -1", "414 ERROR device locked");
    client_expect_nothing(&stage, listener);
    stage_pass_us(&stage, 500000);
    client_expect_whole(&stage, listener, "1010.000 102 INFO 1 LOCK GA 1");
    client_ask(&stage, other, "GET 1 LOCK GA 1", "100 INFO 1 LOCK GA 1 0 0");
    client_ask(&stage, other, "SET 1 GA 1 1 1 -1", "200 OK");
}

static void holder_renews(void **state) {
    (void)state;
    client_ask(&stage, holder, "SET 1 LOCK GA 1 10", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 LOCK GA 1 10 1");
    stage_pass_s(&stage, 9);
    client_ask(&stage, holder, "SET 1 LOCK GA 1 20", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 LOCK GA 1 20 1");
    stage_pass_s(&stage, 19);
    client_ask(&stage, other, "GET 1 LOCK GA 1", "100 INFO 1 LOCK GA 1 1 1");
    client_ask(&stage, holder, "SET 1 LOCK GA 1 0", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 LOCK GA 1 0 1");
    stage_pass_s(&stage, 1000000);
    client_ask(&stage, other, "GET 1 LOCK GA 1", "100 INFO 1 LOCK GA 1 0 1");
}

static void only_the_holder_ends_a_lock(void **state) {
    (void)state;
    client_ask(&stage, holder, "SET 1 LOCK GA 1 0", "200 OK");
    client_ask(&stage, other, "SET 1 LOCK GA 1 5", "414 ERROR device locked");
    client_ask(&stage, other, "CHECK 1 LOCK GA 1 5", "414 ERROR device locked");
    client_ask(&stage, other, "TERM 1 LOCK GA 1", "414 ERROR device locked");
    client_ask(&stage, holder, "TERM 1 LOCK GA 1", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 LOCK GA 1 0 1");
    client_expect(&stage, listener, "102 INFO 1 LOCK GA 1");
    client_ask(&stage, holder, "TERM 1 LOCK GA 1", "200 OK"); /* nobody's: nothing to do */
    client_expect_nothing(&stage, listener);
    client_ask(&stage, other, "SET 1 LOCK GA 1 5", "200 OK");
}

static void leave_orderly(struct net_client *client) {
    client_ask(&stage, client, "TERM 0 SESSION", "200 OK");
}

static void leave(struct net_client *client) {
    client_leave(client, false);
}

static void leave_by_reset(struct net_client *client) {
    client_leave(client, true);
}

static void leave_while_waiting(struct net_client *client) {
    client_send(&stage, client, "WAIT 1 FB 3 1 1000\nGET 1 FB 3\n");
    stage_settle(&stage);
    client_leave(client, false);
}

/* The end of the stream lies behind more than the server reads ahead. */
static void leave_flooded_while_waiting(struct net_client *client) {
    client_send(&stage, client, "WAIT 1 FB 3 1 1000\n");
    for (unsigned i = 0; i < 2000; i++) {
        client_send(&stage, client, "GET 1 FB 3\n");
    }
    stage_settle(&stage);
    client_leave(client, false);
}

static void locks_end_with_their_session_on_whatever_ground(void **state) {
    (void)state;
    static void (*const ways[])(struct net_client *) = {
        leave_orderly, leave, leave_by_reset, leave_while_waiting, leave_flooded_while_waiting};
    for (int way = 0; way < (int)(sizeof ways / sizeof ways[0]); way++) {
        struct net_client *client = stage_commander(&stage, OPERATES);
        client_ask(&stage, client, "SET 1 LOCK GA 1 0", "200 OK");
        client_ask(&stage, client, "SET 1 LOCK GA 12 1000", "200 OK");
        for (unsigned line = 0; line < 3; line++) {
            client_line(&stage, listener); /* the session, its locks */
        }
        ways[way](client);
        client_expect(&stage, listener, "102 INFO 1 LOCK GA 1");
        client_expect(&stage, listener, "102 INFO 1 LOCK GA 12");
        char ended[64];
        snprintf(ended, sizeof ended, "102 INFO 0 SESSION %d", 4 + way);
        client_expect(&stage, listener, ended);
        client_ask(&stage, other, "GET 1 LOCK GA 12", "100 INFO 1 LOCK GA 12 0 0");
    }
}

/* Only its locks go with a session; what it has set stays, the delays that still run included. */
static void what_a_session_has_set_stays(void **state) {
    (void)state;
    client_ask(&stage, holder, "SET 1 LOCK GA 11 0", "200 OK");
    client_ask(&stage, holder, "SET 1 GA 11 1 1 -1", "200 OK");
    client_ask(&stage, holder, "SET 1 POWER OFF lunch", "200 OK");
    client_ask(&stage, holder, "TERM 0 SESSION", "200 OK");
    client_ask(&stage, other, "GET 1 LOCK GA 11", "100 INFO 1 LOCK GA 11 0 0");
    client_ask(&stage, other, "GET 1 GA 11 1", "100 INFO 1 GA 11 1 1");
    client_ask(&stage, other, "GET 1 POWER", "100 INFO 1 POWER OFF lunch");
}

static void lock_of_what_is_not_there(void **state) {
    (void)state;
    client_ask(&stage, holder, "SET 1 LOCK GA 99 0", "421 ERROR unsupported device");
    client_ask(&stage, holder, "SET 1 LOCK FB 1 0", "422 ERROR unsupported device group");
    client_ask(&stage, holder, "SET 1 LOCK GA 1", "419 ERROR list too short");
    client_ask(&stage, holder, "SET 1 LOCK GA 1 -1", "412 ERROR wrong value");
    client_ask(&stage, holder, "SET 0 LOCK GA 1 0", "422 ERROR unsupported device group");
    client_ask(&stage, holder, "WAIT 1 LOCK GA 1", "423 ERROR unsupported operation");
}

/* The interlock's own hold shows as a lock of session 0, on the span and both signals. */
static void hold_of_the_bridge_shows(void **state) {
    (void)state;
    fake_host_cycle(&stage.host, 0, fake_starts_clearing);
    client_expect(&stage, listener, "100 INFO 1 GA 1 0 0");
    client_expect(&stage, listener, "100 INFO 1 GA 1 1 1");
    client_expect(&stage, listener, "100 INFO 1 FB 5 0");
    client_expect(&stage, listener, "100 INFO 1 LOCK GA 1 0 0");
    client_expect(&stage, listener, "100 INFO 1 LOCK GA 11 0 0");
    client_expect(&stage, listener, "100 INFO 1 LOCK GA 12 0 0");
    client_line(&stage, listener); /* PHASE */
    client_ask(&stage, other, "TERM 1 LOCK GA 11", "414 ERROR device locked");
    client_ask(&stage, other, "SET 1 GA 11 0 1 -1", "200 OK"); /* barred by nobody */

    client_ask(&stage, holder, "SET 1 LOCK GA 11 0", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 LOCK GA 11 0 1");
    client_ask(&stage, holder, "TERM 1 LOCK GA 11", "200 OK");
    client_expect(&stage, listener, "102 INFO 1 LOCK GA 11");
    client_expect_whole(&stage, listener, "1000.000 100 INFO 1 LOCK GA 11 0 0");

    client_ask(&stage, holder, "SET 1 LOCK GA 12 0", "200 OK");
    client_expect(&stage, listener, "100 INFO 1 LOCK GA 12 0 1");
    fake_host_cycle(&stage.host, 0, fake_is_lined);
    client_expect(&stage, listener, "100 INFO 1 GA 1 0 1");
    client_expect(&stage, listener, "100 INFO 1 GA 1 1 0");
    client_expect(&stage, listener, "100 INFO 1 FB 5 1");
    client_expect(&stage, listener, "102 INFO 1 LOCK GA 1");
    client_expect(&stage, listener, "102 INFO 1 LOCK GA 11"); /* 12 is still a session's */
    assert_non_null(strstr(client_line(&stage, listener), " GM 0 0 PHASE 1 lined "));
    client_ask(&stage, other, "GET 1 LOCK GA 12", "100 INFO 1 LOCK GA 12 0 1");
}

#define ON_STAGE(test) cmocka_unit_test_setup_teardown(test, open_stage, close_stage)

int main(void) {
    const struct CMUnitTest tests[] = {
        ON_STAGE(lock_bars_the_others_from_setting_not_from_reading),
        ON_STAGE(stops_act_under_anothers_lock),
        ON_STAGE(lock_says_what_is_left_and_ends_by_itself),
        ON_STAGE(holder_renews),
        ON_STAGE(only_the_holder_ends_a_lock),
        ON_STAGE(locks_end_with_their_session_on_whatever_ground),
        ON_STAGE(what_a_session_has_set_stays),
        ON_STAGE(lock_of_what_is_not_there),
        ON_STAGE(hold_of_the_bridge_shows),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
