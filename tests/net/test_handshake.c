/* Handshake and life of sessions. The codes and texts are recalled from SRCP 0.8.4, from memory. */
#include "support/check.h"
#include "support/net/net_stage.h"

#include <stdlib.h>
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

static void server_says_welcome_at_once(void **state) {
    (void)state;
    struct net_client *client = stage_connect(&stage, OPERATES);
    client_expect_whole(&stage, client, "drawtender 0.0; SRCP 0.8.4; SRCPOTHER 0.8.3");
    client_expect_nothing(&stage, client);
}

static void handshake_is_answered_and_stamped(void **state) {
    (void)state;
    struct net_client *client = stage_connect(&stage, OPERATES);
    client_line(&stage, client);
    client_send(&stage, client, "SET PROTOCOL SRCP 0.8.4\nSET CONNECTIONMODE SRCP COMMAND\nGO\n");
    client_expect_whole(&stage, client, "1000.000 201 OK PROTOCOL SRCP");
    client_expect_whole(&stage, client, "1000.000 202 OK CONNECTIONMODE");
    client_expect_whole(&stage, client, "1000.000 200 OK GO 1");
    client_ask(&stage, client, "GET 0 SESSION", "100 INFO 0 SESSION 1 COMMAND");
}

static void failed_request_ends_nothing(void **state) {
    (void)state;
    struct net_client *client = stage_connect(&stage, OPERATES);
    client_line(&stage, client);
    client_ask(&stage, client, "SET PROTOCOL SRCP 9.9", "400 ERROR unsupported protocol");
    client_ask(&stage, client, "SET CONNECTIONMODE SRCP DREAM",
               "401 ERROR unsupported connection mode");
    client_ask(&stage, client, "GET 1 POWER", "410 ERROR unknown command");
    client_ask(&stage, client, "GO", "200 OK GO 1");
}

/* Another mode wants another connection. */
static void mode_cannot_be_changed_after_go(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    client_ask(&stage, client, "SET CONNECTIONMODE SRCP INFO", "412 ERROR wrong value");
    client_ask(&stage, client, "SET PROTOCOL SRCP 0.8.4", "412 ERROR wrong value");
    client_ask(&stage, client, "GO", "410 ERROR unknown command");
    client_ask(&stage, client, "GET 0 SESSION", "100 INFO 0 SESSION 1 COMMAND");
    client_expect_nothing(&stage, client);
}

static void session_ids_count_up_and_are_not_used_again(void **state) {
    (void)state;
    struct net_client *first = stage_commander(&stage, OPERATES);
    client_ask(&stage, first, "TERM 0 SESSION", "200 OK");
    client_expect_end(&stage, first);
    struct net_client *second = stage_commander(&stage, OPERATES);
    client_ask(&stage, second, "GET 0 SESSION", "100 INFO 0 SESSION 2 COMMAND");
    client_ask(&stage, second, "GET 0 SESSION 1", "412 ERROR wrong value");
}

static void the_host_learns_of_sessions_and_who_asks(void **state) {
    (void)state;
    stage_commander(&stage, OPERATES);
    struct net_client *second = stage_commander(&stage, OPERATES);
    assert_int_equal(stage.host.session, 2);
    assert_true(stage.host.has_begun);
    assert_string_equal(stage.host.session_words, "commands, may operate, by 127.0.0.1");
    client_ask(&stage, second, "SET 1 GA 1 1 1 -1", "200 OK");
    assert_int_equal(stage.host.asker, 2);
    client_ask(&stage, second, "TERM 0 SESSION", "200 OK");
    client_expect_end(&stage, second);
    assert_int_equal(stage.host.session, 2);
    assert_false(stage.host.has_begun);
}

static void handshake_may_be_given_up(void **state) {
    (void)state;
    struct net_client *client = stage_connect(&stage, OPERATES);
    client_line(&stage, client);
    client_ask(&stage, client, "TERM 0 SESSION", "200 OK");
    client_expect_end(&stage, client);
}

static void pipelined_client_gets_all_answers_before_the_end(void **state) {
    (void)state;
    struct net_client *client = stage_connect(&stage, OPERATES);
    client_send(&stage, client, "GO\nGET 0 SERVER\nTERM 0 SESSION\nGET 0 SERVER\nGET 0 SERVER\n");
    client_line(&stage, client);
    client_expect(&stage, client, "200 OK GO 1");
    client_expect(&stage, client, "100 INFO 0 SERVER RUNNING");
    client_expect(&stage, client, "200 OK");
    client_expect_end(&stage, client);
}

static void half_closed_client_is_heard_out(void **state) {
    (void)state;
    struct net_client *client = stage_connect(&stage, OPERATES);
    client_send(&stage, client, "GO\nGET 1 FB 5\nGET 1 FB 1\n");
    client_send_end(client);
    client_line(&stage, client);
    client_expect(&stage, client, "200 OK GO 1");
    client_expect(&stage, client, "100 INFO 1 FB 5 1");
    client_expect(&stage, client, "100 INFO 1 FB 1 1");
    client_expect_end(&stage, client);
}

/* Shakes hands within the limit, in one of many tries where the machine is slow. */
static struct net_client *shake_in_time(struct net_stage *own) {
    struct net_client *client;
    const char *line = NULL;
    do {
        client = stage_connect(own, OPERATES);
        client_send(own, client, "GO\n");
        if (client_line(own, client) != NULL) {
            line = client_line(own, client);
        }
    } while (line == NULL);
    assert_non_null(strstr(line, " 200 OK GO "));
    return client;
}

/* The limit is real time, for it is about the network and not about the layout. */
static void unfinished_handshake_is_ended_and_a_finished_one_is_not(void **state) {
    (void)state;
    struct net_stage *own = calloc(1, sizeof *own);
    stage_init(own, 1);
    own->setup.handshake_us = 100000;
    stage_open(own);
    struct net_client *quick = shake_in_time(own);
    struct net_client *idle = stage_connect(own, OPERATES);
    client_line(own, idle);
    client_expect_end(own, idle);
    struct net_client *second = stage_connect(own, OPERATES);
    client_line(own, second);
    client_send(own, second, "SET PROTOCOL");
    client_expect_end(own, second);
    client_ask(own, quick, "GET 0 SERVER", "100 INFO 0 SERVER RUNNING");
    stage_close(own);
    free(own);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(server_says_welcome_at_once, open_stage, close_stage),
        cmocka_unit_test_setup_teardown(handshake_is_answered_and_stamped, open_stage, close_stage),
        cmocka_unit_test_setup_teardown(failed_request_ends_nothing, open_stage, close_stage),
        cmocka_unit_test_setup_teardown(mode_cannot_be_changed_after_go, open_stage, close_stage),
        cmocka_unit_test_setup_teardown(session_ids_count_up_and_are_not_used_again, open_stage,
                                        close_stage),
        cmocka_unit_test_setup_teardown(the_host_learns_of_sessions_and_who_asks, open_stage,
                                        close_stage),
        cmocka_unit_test_setup_teardown(handshake_may_be_given_up, open_stage, close_stage),
        cmocka_unit_test_setup_teardown(pipelined_client_gets_all_answers_before_the_end,
                                        open_stage, close_stage),
        cmocka_unit_test_setup_teardown(half_closed_client_is_heard_out, open_stage, close_stage),
        cmocka_unit_test(unfinished_handshake_is_ended_and_a_finished_one_is_not),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
