/* Servers that lie, stall, close and flood: the tool ends with its code for them, and prints
 * nothing that could steer a terminal. */
#include "support/check.h"
#include "support/tool/tool_run.h"
#include "tools/drawtender/client/bridge_link.h"

#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define LINED "1.000 100 INFO 0 GM 0 0 PHASE 1 lined none -\n"

/* A short patience, for servers that will never answer. */
enum { SOON_MS = 20, LATE_MS = 0 };

static void nobody_there_is_unreachable(void **state) {
    (void)state;
    /* The port of a server that has gone again. */
    struct tool_server server;
    const struct tool_server_step nothing[] = {{0}};
    tool_server_start(&server, nothing);
    assert_true(tool_server_finish(&server));
    struct tool_run run = {.port = server.port};
    tool_run_words(&run, "state");
    tool_run_ends(run, OUTCOME_UNREACHABLE, "", "no server at 127.0.0.1");
}

static void what_is_no_welcome_is_unreachable(void **state) {
    (void)state;
    static const struct {
        const char *line, *err;
    } cases[] = {
        {"220 mail.example ESMTP\n", "does not announce SRCP 0.8"},
        {"fake 1.0; SRCP 0.7.3\n", "does not announce SRCP 0.8"},
        {"fake 1.0; SRCP 0\n", "does not announce SRCP 0.8"},
        {"fake 1.0; SRCP\n", "does not announce SRCP 0.8"},
        {"\033]0;owned\007\n", "not a line of the protocol"},
        {"fake\xff 1.0; SRCP 0.8.4\n", "not a line of the protocol"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        const struct tool_server_step script[] = {
            {FAKE_ACCEPT, 0, NULL}, {FAKE_SEND, 0, cases[i].line}, {0}};
        tool_run_ends(tool_run_against(script, "state", LATE_MS), OUTCOME_UNREACHABLE, "",
                      cases[i].err);
    }
}

/* The handshake up to GO, whose reply is given. */
static void assert_go_ends(const char *reply, const char *err) {
    const struct tool_server_step script[] = {{FAKE_ACCEPT, 0, NULL},
                                              {FAKE_SEND, 0, "fake 1.0; SRCP 0.8.4\n"},
                                              {FAKE_EXPECT, 0, "SET PROTOCOL SRCP 0.8.4"},
                                              {FAKE_SEND, 0, "1.000 201 OK PROTOCOL SRCP\n"},
                                              {FAKE_EXPECT, 0, "SET CONNECTIONMODE SRCP COMMAND"},
                                              {FAKE_SEND, 0, "1.000 202 OK CONNECTIONMODE\n"},
                                              {FAKE_EXPECT, 0, "GO"},
                                              {FAKE_SEND, 0, reply},
                                              {0}};
    tool_run_ends(tool_run_against(script, "state", LATE_MS), OUTCOME_UNREACHABLE, "", err);
}

static void a_handshake_that_goes_wrong_is_unreachable(void **state) {
    (void)state;
    assert_go_ends("1.000 500 ERROR out of resources\n", "500 out of resources");
    assert_go_ends("1.000 200 OK GO\n", "no session id");
    assert_go_ends("1.000 200 OK GO -5\n", "no session id");
    assert_go_ends("1.000 200 OK GO 99999999999999\n", "no session id");
    assert_go_ends("hello\n", "not a line of the protocol");
}

static void a_server_that_stalls_is_given_up(void **state) {
    (void)state;
    const struct tool_server_step silent[] = {{FAKE_ACCEPT, 0, NULL}, {0}};
    tool_run_ends(tool_run_against(silent, "state", SOON_MS), OUTCOME_UNREACHABLE, "",
                  "does not answer");
    const struct tool_server_step half[] = {
        {FAKE_ACCEPT, 0, NULL}, {FAKE_SEND, 0, "fake 1.0; SRCP"}, {0}};
    tool_run_ends(tool_run_against(half, "state", SOON_MS), OUTCOME_UNREACHABLE, "",
                  "does not answer");
    const struct tool_server_step never_accepts[] = {{0}};
    struct tool_run run = tool_run_against(never_accepts, "state", SOON_MS);
    assert_int_equal(run.outcome, OUTCOME_UNREACHABLE);
    tool_run_free(&run);
}

static void a_reply_that_never_comes_ends_the_wait_for_it(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_HELLO(0, "COMMAND", "7"), {FAKE_EXPECT, 0, "WAIT 1 FB 1 1 60"}, {0}};
    tool_run_ends(tool_run_against(script, "send WAIT 1 FB 1 1 60 --limit 10ms", LATE_MS),
                  OUTCOME_TIMED_OUT, "", "does not answer");
}

static void a_movement_asked_of_a_dying_server_may_have_begun(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED), {FAKE_EXPECT, 0, "SET 1 GA 1 1 1 -1"}, {FAKE_CLOSE, 0, NULL}, {0}};
    tool_run_ends(tool_run_against(script, "raise", LATE_MS), OUTCOME_UNREACHABLE, "",
                  "may still have accepted the request");
}

static void a_server_lost_on_the_way_leaves_the_bridge_going(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED),
        FAKE_GRANT("SET 1 GA 1 1 1 -1", "1.000 100 INFO 0 GM 0 0 PHASE 1 raising up -\n"),
        {FAKE_CLOSE, 1, NULL},
        {0}};
    tool_run_ends(tool_run_against(script, "raise", LATE_MS), OUTCOME_UNREACHABLE, "",
                  "closed the connection in phase raising; the bridge continues");
}

static void a_reply_of_the_wrong_kind_is_no_grant(void **state) {
    (void)state;
    static const struct {
        const char *reply, *err;
    } cases[] = {
        {"1.000 100 INFO 1 GA 1 1 1\n", "an invalid reply"},
        {"OK\n", "not a line of the protocol"},
        {"1.000 200\n", "not a line of the protocol"},
        {"1.000 200 YES\n", "not a line of the protocol"},
        {"1.000 200 OK\033[2J\n", "not a line of the protocol"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        const struct tool_server_step script[] = {FAKE_LINK(LINED),
                                                  {FAKE_EXPECT, 0, "SET 1 GA 1 1 1 -1"},
                                                  {FAKE_SEND, 0, cases[i].reply},
                                                  {0}};
        tool_run_ends(tool_run_against(script, "raise", LATE_MS), OUTCOME_UNREACHABLE, "",
                      cases[i].err);
    }
}

static void a_server_without_the_bus_refuses(void **state) {
    (void)state;
    const struct tool_server_step script[] = {FAKE_HELLO(0, "COMMAND", "7"),
                                              {FAKE_EXPECT, 0, "GET 5 DESCRIPTION"},
                                              {FAKE_SEND, 0, "1.000 412 ERROR wrong value\n"},
                                              {0}};
    tool_run_ends(tool_run_against(script, "state --bus 5", LATE_MS), OUTCOME_REFUSED, "",
                  "no bus 5");
}

static void a_bus_without_a_drawbridge_is_no_bridge(void **state) {
    (void)state;
    const struct tool_server_step script[] = {FAKE_LINK("1.000 100 INFO 1 POWER ON\n"), {0}};
    tool_run_ends(tool_run_against(script, "raise", LATE_MS), OUTCOME_REFUSED, "",
                  "no drawbridge on bus 1");
}

/* Who may only observe sends no messages; the phase at the end of the dump has to do. */
static void a_server_that_takes_no_marks_is_read_up_to_the_phase(void **state) {
    (void)state;
    const struct tool_server_step script[] = {FAKE_SESSIONS,
                                              {FAKE_EXPECT, 0, "SET 0 GM 8 7 MARK 1"},
                                              {FAKE_SEND, 0, "1.000 415 ERROR forbidden\n"},
                                              {FAKE_SEND, 1, LINED},
                                              {0}};
    tool_run_ends(tool_run_against(script, "state", LATE_MS), OUTCOME_DONE, "", "");
}

static void without_marks_an_old_picture_is_not_taken_for_the_end(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_SESSIONS,
        {FAKE_EXPECT, 0, "SET 0 GM 8 7 MARK 1"},
        {FAKE_SEND, 0, "1.000 422 ERROR unsupported device group\n"},
        {FAKE_SEND, 1, LINED},
        {FAKE_EXPECT, 0, "SET 1 GA 1 1 1 -1"},
        {FAKE_SEND, 0, "1.000 200 OK\n"},
        {FAKE_EXPECT, 0, "SET 0 GM 8 7 MARK 2"},
        {FAKE_SEND, 0, "1.000 422 ERROR unsupported device group\n"},
        {FAKE_SEND, 1, "1.000 100 INFO 0 GM 0 0 PHASE 1 raising up -\n"},
        {FAKE_SEND, 1, "1.000 100 INFO 0 GM 0 0 PHASE 1 open none -\n"},
        {0}};
    tool_run_ends(tool_run_against(script, "raise", LATE_MS), OUTCOME_DONE, "", "");
}

static void rubbish_between_the_news_is_passed_over(void **state) {
    (void)state;
    char line[3000];
    memset(line, 'A', sizeof line - 2);
    line[sizeof line - 2] = '\n';
    line[sizeof line - 1] = '\0';
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED "\033[31m\n\n \n100\n1.000 700 INFO 1\n1.000 100 INFO x GA 1 0 1\n"),
        {FAKE_SEND, 1, line},
        {FAKE_SEND, 1, "1.000 100 INFO 0 GM 0 0 PHASE 1 open none -\n"},
        {0}};
    tool_run_ends(tool_run_against(script, "wait open", LATE_MS), OUTCOME_DONE, "", "");
}

/* The sessions are open before patience is short, so that a slow machine has time for them. */
static void a_flood_instead_of_the_news_ends_with_the_patience(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED),
        {FAKE_EXPECT, 0, "SET 0 GM 8 7 MARK 2"},
        {FAKE_SEND, 0, "1.000 200 OK\n"},
        {FAKE_FLOOD, 1, "1.000 100 INFO 1 FB 1 1\n1.000 100 INFO 1 FB 1 0\n"},
        {0}};
    static struct bridge_link link;
    struct tool_server server;
    struct error error;
    tool_server_start(&server, script);
    const struct tool_options options = {
        .host = "127.0.0.1", .port = server.port, .bus = 1, .reply_ms = UINT32_MAX};
    assert_int_equal(bridge_link_open(&link, &options, &error), OUTCOME_DONE);
    link.reply_ms = SOON_MS;
    assert_int_equal(bridge_link_catch_up(&link, &error), OUTCOME_UNREACHABLE);
    assert_string_equal(error.what, "the server does not answer");
    bridge_link_close(&link);
    assert_true(tool_server_finish(&server));
}

static void a_flood_does_not_outlast_the_limit_of_a_wait(void **state) {
    (void)state;
    static const char *const floods[] = {
        "1.000 100 INFO 1 FB 1 1\n1.000 100 INFO 1 FB 1 0\n",
        "no end of a line ",
        "\033[2J\n",
    };
    for (size_t i = 0; i < COUNT(floods); i++) {
        const struct tool_server_step script[] = {
            FAKE_LINK(LINED), {FAKE_FLOOD, 1, floods[i]}, {0}};
        tool_run_ends(tool_run_against(script, "wait open --limit 10ms", LATE_MS),
                      OUTCOME_TIMED_OUT, "", "limit expired");
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nobody_there_is_unreachable),
        cmocka_unit_test(what_is_no_welcome_is_unreachable),
        cmocka_unit_test(a_handshake_that_goes_wrong_is_unreachable),
        cmocka_unit_test(a_server_that_stalls_is_given_up),
        cmocka_unit_test(a_reply_that_never_comes_ends_the_wait_for_it),
        cmocka_unit_test(a_movement_asked_of_a_dying_server_may_have_begun),
        cmocka_unit_test(a_server_lost_on_the_way_leaves_the_bridge_going),
        cmocka_unit_test(a_reply_of_the_wrong_kind_is_no_grant),
        cmocka_unit_test(a_server_without_the_bus_refuses),
        cmocka_unit_test(a_bus_without_a_drawbridge_is_no_bridge),
        cmocka_unit_test(a_server_that_takes_no_marks_is_read_up_to_the_phase),
        cmocka_unit_test(without_marks_an_old_picture_is_not_taken_for_the_end),
        cmocka_unit_test(rubbish_between_the_news_is_passed_over),
        cmocka_unit_test(a_flood_instead_of_the_news_ends_with_the_patience),
        cmocka_unit_test(a_flood_does_not_outlast_the_limit_of_a_wait),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
