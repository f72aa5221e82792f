/* Each group and command, each code, and the order in which faults are found. Codes, texts and
 * field orders are recalled from SRCP 0.8.4, from memory; the order of faults is our decision. */
#include "support/check.h"
#include "support/net/net_stage.h"

#include <stdio.h>
#include <string.h>

static struct net_stage stage;

static int open_stage(void **state) {
    (void)state;
    stage_init(&stage, 2);
    stage_open(&stage);
    return 0;
}

static int close_stage(void **state) {
    (void)state;
    stage_close(&stage);
    return 0;
}

struct exchange {
    const char *line;
    const char *answer;
};

static void check_exchanges(struct net_client *client, const struct exchange *exchanges,
                            size_t count) {
    for (size_t i = 0; i < count; i++) {
        client_ask(&stage, client, exchanges[i].line, exchanges[i].answer);
    }
}

#define CHECK_EXCHANGES(client, ...)                                                               \
    do {                                                                                           \
        static const struct exchange exchanges[] = {__VA_ARGS__};                                  \
        check_exchanges(client, exchanges, sizeof exchanges / sizeof exchanges[0]);                \
    } while (0)

static void states_of_a_lined_bridge_are_read(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OBSERVES);
    CHECK_EXCHANGES(
        client, {"GET 1 GA 1 0", "100 INFO 1 GA 1 0 1"}, {"GET 1 GA 1 1", "100 INFO 1 GA 1 1 0"},
        {"GET 1 GA 1 4", "100 INFO 1 GA 1 4 0"}, {"GET 1 GA 2 0", "100 INFO 1 GA 2 0 0"},
        {"GET 1 GA 2 1", "100 INFO 1 GA 2 1 1"}, {"GET 1 GA 3 0", "100 INFO 1 GA 3 0 0"},
        {"GET 1 GA 4 0", "100 INFO 1 GA 4 0 1"}, {"GET 1 GA 11 0", "100 INFO 1 GA 11 0 1"},
        {"GET 1 GA 12 1", "100 INFO 1 GA 12 1 0"}, {"GET 1 FB 5", "100 INFO 1 FB 5 1"},
        {"GET 1 FB 103", "100 INFO 1 FB 103 0"}, {"GET 1 POWER", "100 INFO 1 POWER ON"},
        {"GET 2 FB 1", "100 INFO 2 FB 1 1"}, {"GET 1 LOCK GA 1", "100 INFO 1 LOCK GA 1 0 0"},
        {"GET 0 SERVER", "100 INFO 0 SERVER RUNNING"},
        {"GET 0 SESSION", "100 INFO 0 SESSION 1 COMMAND"}, {"GET 0 TIME", "416 ERROR no data"});
}

static void descriptions_say_what_is_there(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OBSERVES);
    CHECK_EXCHANGES(
        client, {"GET 0 DESCRIPTION", "100 INFO 0 DESCRIPTION TIME SESSION SERVER DESCRIPTION GM"},
        {"GET 1 DESCRIPTION", "100 INFO 1 DESCRIPTION GA FB POWER LOCK DESCRIPTION"},
        {"GET 1 DESCRIPTION GA", "100 INFO 1 DESCRIPTION GA"},
        {"GET 1 DESCRIPTION GA 11", "101 INFO 1 GA 11 P signal main west"},
        {"GET 1 DESCRIPTION FB 103", "101 INFO 1 FB 103 P span main"},
        {"GET 1 DESCRIPTION POWER", "101 INFO 1 POWER"},
        {"GET 1 DESCRIPTION GA 99", "421 ERROR unsupported device"},
        {"GET 1 DESCRIPTION POWER 1", "421 ERROR unsupported device"},
        {"GET 0 DESCRIPTION SESSION", "100 INFO 0 DESCRIPTION SESSION"},
        {"GET 0 DESCRIPTION SESSION 1", "101 INFO 0 SESSION 1 COMMAND"},
        {"GET 0 DESCRIPTION SESSION 2", "421 ERROR unsupported device"},
        {"GET 0 DESCRIPTION TIME 1", "421 ERROR unsupported device"},
        {"GET 1 DESCRIPTION GL", "422 ERROR unsupported device group"});
}

static void set_asks_the_bridge_what_the_port_means(void **state) {
    (void)state;
    static const struct {
        const char *line;
        enum bridge_request_kind kind;
        unsigned end;
    } cases[] = {
        {"SET 1 GA 1 0 1 -1", REQUEST_LOWER, 0},
        {"SET 1 GA 1 1 1 -1", REQUEST_RAISE, 0},
        {"SET 1 GA 1 2 1 -1", REQUEST_STOP, 0},
        {"SET 1 GA 1 3 1 -1", REQUEST_EMERGENCY_STOP, 0},
        {"SET 1 GA 1 4 1 -1", REQUEST_ACKNOWLEDGE, 0},
        {"SET 1 GA 1 7 1 -1", REQUEST_SEEN_CLEAR, 0},
        {"SET 1 GA 3 0 1 -1", REQUEST_HORN_ON, 0},
        {"SET 1 GA 3 0 0 -1", REQUEST_HORN_OFF, 0},
        {"SET 1 GA 11 0 1 -1", REQUEST_SIGNAL_STOP, 0},
        {"SET 1 GA 12 1 1 -1", REQUEST_SIGNAL_PROCEED, 1},
        {"SET 1 POWER OFF", REQUEST_POWER_OFF, 0},
        {"SET 1 POWER ON", REQUEST_POWER_ON, 0},
    };
    struct net_client *client = stage_commander(&stage, OPERATES);
    for (unsigned i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        client_ask(&stage, client, cases[i].line, "200 OK");
        assert_int_equal(stage.host.requests, i + 1);
        assert_int_equal(stage.host.request.kind, cases[i].kind);
        assert_int_equal(stage.host.request.end, cases[i].end);
    }
}

/* It warns first: for everybody who may operate. The value is the share in thousandths. */
static void throttle_is_for_operators_and_its_value_says_how_fast(void **state) {
    (void)state;
    static const struct {
        const char *line;
        enum bridge_request_kind kind;
        double share;
        bool is_voltage;
    } cases[] = {{"SET 1 GA 1 8 500 -1", REQUEST_THROTTLE_UP, 0.5, false},
                 {"SET 1 GA 1 10 750 -1", REQUEST_THROTTLE_HOLD, 0.75, false},
                 {"SET 1 GA 1 9 50 -1", REQUEST_THROTTLE_DOWN, 0.05, false},
                 {"SET 1 GA 1 11 1000 -1", REQUEST_THROTTLE_UP, 1, true},
                 {"SET 1 GA 1 13 1 -1", REQUEST_THROTTLE_HOLD, 0.001, true},
                 {"SET 1 GA 1 12 250 -1", REQUEST_THROTTLE_DOWN, 0.25, true}};
    struct net_client *client = stage_commander(&stage, OPERATES);
    for (unsigned i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        client_ask(&stage, client, cases[i].line, "200 OK");
        assert_int_equal(stage.host.requests, i + 1);
        assert_int_equal(stage.host.request.kind, cases[i].kind);
        assert_true(stage.host.request.share == cases[i].share);
        assert_true(stage.host.request.is_voltage == cases[i].is_voltage);
    }
    CHECK_EXCHANGES(
        client, {"GET 1 GA 1 8", "100 INFO 1 GA 1 8 0"}, {"GET 1 GA 1 9", "100 INFO 1 GA 1 9 0"},
        {"GET 1 GA 1 10", "100 INFO 1 GA 1 10 0"}, {"GET 1 GA 1 11", "100 INFO 1 GA 1 11 0"},
        {"GET 1 GA 1 12", "100 INFO 1 GA 1 12 1"}, {"GET 1 GA 1 13", "100 INFO 1 GA 1 13 1"},
        {"SET 1 GA 1 8 1001 -1", "412 ERROR wrong value"},
        {"SET 1 GA 1 13 -1 -1", "412 ERROR wrong value"},
        {"WAIT 1 GA 1 8 500 0", "412 ERROR wrong value"});
    assert_int_equal(stage.host.requests, sizeof cases / sizeof cases[0]);
    client_ask(&stage, client, "SET 1 GA 1 8 500 -1", "200 OK");
    CHECK_EXCHANGES(client, {"GET 1 GA 1 8", "100 INFO 1 GA 1 8 1"},
                    {"GET 1 GA 1 10", "100 INFO 1 GA 1 10 1"},
                    {"GET 1 GA 1 13", "100 INFO 1 GA 1 13 0"});
    stage.host.answer = ANSWER_LET_GO;
    client_ask(&stage, client, "SET 1 GA 1 10 500 -1", "413 ERROR temporarily prohibited");
}

/* Whichever of its ports goes back to 0, and whoever holds the lock (S9). */
static void throttle_back_at_0_lets_go(void **state) {
    (void)state;
    static const char *const lines[] = {"SET 1 GA 1 8 0 -1",  "SET 1 GA 1 9 0 -1",
                                        "SET 1 GA 1 10 0 -1", "SET 1 GA 1 11 0 -1",
                                        "SET 1 GA 1 12 0 -1", "SET 1 GA 1 13 0 -1"};
    struct net_client *client = stage_commander(&stage, OPERATES);
    struct net_client *other = stage_commander(&stage, OPERATES);
    client_ask(&stage, other, "SET 1 LOCK GA 1 0", "200 OK");
    client_ask(&stage, client, "SET 1 GA 1 10 500 -1", "414 ERROR device locked");
    for (unsigned i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        client_ask(&stage, client, lines[i], "200 OK");
        assert_int_equal(stage.host.requests, i + 1);
        assert_true(bridge_request_lets_go(&stage.host.request));
    }
}

/* It moves without a warning: not for everybody who may operate. */
static void jog_is_for_administrators_and_its_value_says_how_hard(void **state) {
    (void)state;
    struct net_client *worker = stage_commander(&stage, OPERATES);
    CHECK_EXCHANGES(worker, {"SET 1 GA 1 5 1 -1", "415 ERROR forbidden"},
                    {"CHECK 1 GA 1 6 1 -1", "415 ERROR forbidden"}, {"SET 1 GA 1 5 0 -1", "200 OK"},
                    {"SET 1 GA 1 5 1001 -1", "412 ERROR wrong value"},
                    {"SET 1 GA 1 5 -1 -1", "412 ERROR wrong value"},
                    {"SET 1 GA 1 4 2 -1", "412 ERROR wrong value"},
                    {"WAIT 1 GA 1 5 2 0", "412 ERROR wrong value"},
                    {"SET 1 GA 1 7 2 -1", "412 ERROR wrong value"},
                    {"SET 1 GA 1 14 1 -1", "412 ERROR wrong value"});
    assert_int_equal(stage.host.requests, 0);
    static const struct {
        const char *line;
        enum bridge_request_kind kind;
        double effort_most;
    } cases[] = {{"SET 1 GA 1 5 1 -1", REQUEST_JOG_UP, 0},
                 {"SET 1 GA 1 6 1 -1", REQUEST_JOG_DOWN, 0},
                 {"SET 1 GA 1 5 250 -1", REQUEST_JOG_UP, 0.25},
                 {"SET 1 GA 1 6 1000 -1", REQUEST_JOG_DOWN, 1}};
    struct net_client *client = stage_commander(&stage, ADMINISTERS);
    for (unsigned i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        client_ask(&stage, client, cases[i].line, "200 OK");
        assert_int_equal(stage.host.request.kind, cases[i].kind);
        assert_true(stage.host.request.effort_most == cases[i].effort_most);
    }
}

static void value_0_of_a_momentary_port_does_nothing(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    CHECK_EXCHANGES(client, {"SET 1 GA 1 1 0 -1", "200 OK"}, {"SET 1 GA 1 3 0 100", "200 OK"},
                    {"SET 1 GA 11 1 0 -1", "200 OK"});
    assert_int_equal(stage.host.requests, 0);
}

static void init_takes_what_the_configuration_set_up(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    CHECK_EXCHANGES(client, {"INIT 1 GA 1 P", "200 OK"}, {"INIT 1 GA 1 P some words", "200 OK"},
                    {"INIT 1 FB 103 P", "200 OK"}, {"INIT 1 POWER", "200 OK"},
                    {"INIT 1 GA 1 N", "420 ERROR unsupported device protocol"},
                    {"INIT 1 FB 103 S", "420 ERROR unsupported device protocol"},
                    {"INIT 1 GA 99 N", "421 ERROR unsupported device"},
                    {"TERM 1 GA 1", "415 ERROR forbidden"}, {"TERM 1 FB 1", "415 ERROR forbidden"},
                    {"TERM 1 POWER", "415 ERROR forbidden"},
                    {"TERM 1 FB 77", "421 ERROR unsupported device"});
    assert_int_equal(stage.host.requests, 0);
}

static void faults_are_found_in_their_order(void **state) {
    (void)state;
    struct net_client *holder = stage_commander(&stage, OPERATES);
    client_ask(&stage, holder, "SET 1 LOCK GA 1 0", "200 OK");
    client_ask(&stage, holder, "SET 1 LOCK GA 2 0", "200 OK");
    stage.host.answer = ANSWER_FAULT;
    struct net_client *watcher = stage_commander(&stage, OBSERVES);
    CHECK_EXCHANGES(watcher, {"RAISE 9 XX 99 9 9 -9 9", "410 ERROR unknown command"},
                    {"SET 9 XX 99 9 9 -9 9", "412 ERROR wrong value"},
                    {"WAIT 1 XX 99 9", "422 ERROR unsupported device group"},
                    {"WAIT 1 GL 99 9", "422 ERROR unsupported device group"},
                    {"SET 1 SERVER 99 9 9 -9 9", "422 ERROR unsupported device group"},
                    {"RESET 1 GA", "423 ERROR unsupported operation"},
                    {"SET 1 FB 1 1", "425 ERROR not supported"},
                    {"CHECK 1 FB 99 9 9", "425 ERROR not supported"},
                    {"VERIFY 1 GA 99 9 9 9", "423 ERROR unsupported operation"},
                    {"SET 1 GA 99 9 9 -9 9", "418 ERROR list too long"},
                    {"SET 1 GA 99 9 9", "419 ERROR list too short"},
                    {"SET 1 GA 99 9 9 -9", "421 ERROR unsupported device"},
                    {"SET 1 GA 1 14 1 -1", "412 ERROR wrong value"},
                    {"SET 1 GA 1 0 2 -1", "412 ERROR wrong value"},
                    {"SET 1 GA 1 0 1 -2", "412 ERROR wrong value"},
                    {"SET 1 GA 1 0 1 -1", "415 ERROR forbidden"});
    struct net_client *client = stage_commander(&stage, OPERATES);
    CHECK_EXCHANGES(client, {"SET 1 GA 2 0 1 -1", "415 ERROR forbidden"},
                    {"SET 1 GA 1 0 1 -1", "414 ERROR device locked"});
    client_ask(&stage, holder, "TERM 1 LOCK GA 1", "200 OK");
    client_ask(&stage, client, "SET 1 GA 1 0 1 -1", "413 ERROR temporarily prohibited");
    stage.host.answer = ANSWER_GRANTED;
    client_ask(&stage, client, "SET 1 GA 1 0 1 -1", "200 OK");
}

static void observers_may_look_and_wait_but_not_touch(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OBSERVES);
    CHECK_EXCHANGES(
        client, {"SET 1 GA 1 3 1 -1", "415 ERROR forbidden"},
        {"CHECK 1 GA 1 3 1 -1", "415 ERROR forbidden"}, {"SET 1 POWER OFF", "415 ERROR forbidden"},
        {"SET 1 LOCK GA 1 10", "415 ERROR forbidden"}, {"TERM 1 LOCK GA 1", "415 ERROR forbidden"},
        {"INIT 1 GA 1 P", "415 ERROR forbidden"}, {"INIT 1 FB 1 P", "415 ERROR forbidden"},
        {"INIT 1 POWER", "415 ERROR forbidden"}, {"INIT 0 TIME 1 1", "415 ERROR forbidden"},
        {"SET 0 TIME 0 0 0 0", "415 ERROR forbidden"}, {"TERM 0 TIME", "415 ERROR forbidden"},
        {"SET 0 GM 0 0 HELLO", "415 ERROR forbidden"}, {"TERM 0 SERVER", "415 ERROR forbidden"},
        {"RESET 0 SERVER", "415 ERROR forbidden"}, {"WAIT 1 FB 5 1 0", "100 INFO 1 FB 5 1"},
        {"TERM 0 SESSION 1", "200 OK"});
    assert_int_equal(stage.host.requests, 0);
    client_expect_end(&stage, client);
}

static void only_administrators_end_others(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    struct net_client *admin = stage_commander(&stage, ADMINISTERS);
    CHECK_EXCHANGES(client, {"TERM 0 SESSION 2", "415 ERROR forbidden"},
                    {"TERM 0 SESSION 7", "412 ERROR wrong value"},
                    {"TERM 0 SERVER", "415 ERROR forbidden"},
                    {"RESET 0 SERVER", "415 ERROR forbidden"},
                    {"SET 0 GM 0 0 SIMULATE 1 fault stall on", "415 ERROR forbidden"});
    client_ask(&stage, admin, "TERM 0 SESSION 1", "200 OK");
    client_expect_end(&stage, client);
    client_ask(&stage, admin, "GET 0 SESSION 1", "412 ERROR wrong value");
}

static void refusals_are_413_and_impossible_requests_415(void **state) {
    (void)state;
    static const struct {
        enum bridge_answer answer;
        const char *reply;
    } cases[] = {
        {ANSWER_GRANTED, "200 OK"},
        {ANSWER_ALREADY, "200 OK"},
        {ANSWER_NO_SUCH, "415 ERROR forbidden"},
        {ANSWER_FAULT, "413 ERROR temporarily prohibited"},
        {ANSWER_UNPROVED, "413 ERROR temporarily prohibited"},
        {ANSWER_NOT_LINED, "413 ERROR temporarily prohibited"},
        {ANSWER_POWER_OFF, "413 ERROR temporarily prohibited"},
        {ANSWER_NOT_SAFE, "413 ERROR temporarily prohibited"},
        {ANSWER_NOT_WANTED, "413 ERROR temporarily prohibited"},
        {ANSWER_TOO_OLD, "413 ERROR temporarily prohibited"},
        {ANSWER_CAUSE_STANDS, "413 ERROR temporarily prohibited"},
    };
    struct net_client *client = stage_commander(&stage, OPERATES);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        stage.host.answer = cases[i].answer;
        client_ask(&stage, client, "CHECK 1 GA 1 1 1 -1", cases[i].reply);
        client_ask(&stage, client, "SET 1 GA 1 1 1 -1", cases[i].reply);
        client_ask(&stage, client, "CHECK 1 POWER ON", cases[i].reply);
        client_ask(&stage, client, "SET 1 POWER ON", cases[i].reply);
    }
}

static void s9_a_stand_that_is_local_bars_all_but_the_stops(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, ADMINISTERS);
    struct net_client *listener = stage_listener(&stage);
    stage.host.kept_by_stand = "its stand is local";
    static const char *const barred[] = {"SET 1 GA 1 1 1 -1", "SET 1 GA 1 4 1 -1",
                                         "SET 1 POWER ON"};
    for (size_t i = 0; i < sizeof barred / sizeof barred[0]; i++) {
        client_ask(&stage, client, barred[i], "413 ERROR temporarily prohibited");
        assert_non_null(strstr(client_line(&stage, listener), "its stand is local"));
    }
    client_ask(&stage, client, "CHECK 1 GA 1 1 1 -1", "413 ERROR temporarily prohibited");
    assert_int_equal(stage.host.requests, 0);
    client_ask(&stage, client, "SET 1 GA 1 2 1 -1", "200 OK");
    assert_int_equal(stage.host.request.kind, REQUEST_STOP);
    client_ask(&stage, client, "SET 1 GA 1 3 1 -1", "200 OK");
    assert_int_equal(stage.host.request.kind, REQUEST_EMERGENCY_STOP);
}

static void check_changes_nothing(void **state) {
    (void)state;
    struct net_client *listener = stage_listener(&stage);
    struct net_client *client = stage_commander(&stage, ADMINISTERS);
    client_expect(&stage, listener, "101 INFO 0 SESSION 2 COMMAND");
    CHECK_EXCHANGES(client, {"CHECK 1 GA 1 1 1 -1", "200 OK"}, {"CHECK 1 GA 3 0 1 500", "200 OK"},
                    {"CHECK 1 POWER OFF lunch", "200 OK"}, {"CHECK 1 LOCK GA 1 10", "200 OK"},
                    {"CHECK 0 TIME 1 2 3 4", "200 OK"}, {"CHECK 0 GM 0 0 HELLO", "200 OK"},
                    {"CHECK 0 GM 0 0 SIMULATE 1 fault stall on", "200 OK"},
                    {"CHECK 1 GA 1 14 1 -1", "412 ERROR wrong value"});
    stage.host.answer = ANSWER_FAULT;
    client_ask(&stage, client, "CHECK 1 GA 1 1 1 -1", "413 ERROR temporarily prohibited");
    stage_pass_s(&stage, 10); /* no delay runs either */
    assert_int_equal(stage.host.requests, 0);
    assert_string_equal(stage.host.simulated, "");
    client_ask(&stage, client, "GET 1 LOCK GA 1", "100 INFO 1 LOCK GA 1 0 0");
    client_ask(&stage, client, "GET 0 TIME", "416 ERROR no data");
    client_ask(&stage, client, "GET 1 POWER", "100 INFO 1 POWER ON");
    client_expect_nothing(&stage, listener);
}

/* What follows SET or CHECK: good lines, and one for every fault there is. */
static const char *const set_lines[] = {
    "",
    "9",
    "9 GA 1 1 1 -1",
    "1",
    "1 XX",
    "1 GL 3 1 10 100",
    "0 GA 1 1 1 -1",
    "1 DESCRIPTION",
    "1 FB 1 1",
    "0 SESSION 1",
    "0 SERVER",
    "1 GA",
    "1 GA 1 1 1",
    "1 GA 1 1 1 -1 0",
    "1 GA one 1 1 -1",
    "1 GA 99 1 1 -1",
    "1 GA 1 -1 1 -1",
    "1 GA 1 8 1 -1",
    "1 GA 1 7 1 -1",
    "1 GA 1 1 2 -1",
    "1 GA 1 1 1 -2",
    "1 GA 1 5 1 -1",
    "1 GA 1 5 1001 -1",
    "1 GA 2 0 1 -1",
    "1 GA 1 0 0 -1",
    "1 GA 1 0 1 -1",
    "1 GA 1 2 1 -1",
    "1 GA 1 3 1 -1",
    "1 GA 1 4 1 -1",
    "1 GA 3 0 1 500",
    "1 GA 11 0 1 -1",
    "1 GA 11 1 1 -1",
    "1 POWER",
    "1 POWER PERHAPS",
    "1 POWER OFF lunch",
    "1 POWER ON after lunch",
    "1 LOCK",
    "1 LOCK FB 1 10",
    "1 LOCK GA 99 10",
    "1 LOCK GA 1",
    "1 LOCK GA 1 -1",
    "1 LOCK GA 3 10",
    "1 LOCK GA 1 10",
    "0 TIME 1 2 3",
    "0 TIME 1 24 0 0",
    "0 TIME 1 2 3 4",
    "0 GM 0 0",
    "0 GM -1 0 HELLO",
    "0 GM 99 0 HELLO",
    "0 GM 0 0 PHASE 1",
    "0 GM 0 0 HELLO harbour",
    "0 GM 0 0 SIMULATE",
    "0 GM 0 0 SIMULATE 9 fault jam on",
    "0 GM 0 0 SIMULATE 1 fault jam on",
};

static void answer_to(struct net_client *client, const char *command, const char *rest,
                      char *answer, size_t size) {
    char line[128];
    snprintf(line, sizeof line, "%s %s\n", command, rest);
    client_send(&stage, client, line);
    snprintf(answer, size, "%s", strchr(client_line(&stage, client), ' '));
}

static void check_answers_as_set_would(void **state) {
    (void)state;
    static const enum bridge_answer answers[] = {ANSWER_GRANTED, ANSWER_ALREADY, ANSWER_NO_SUCH,
                                                 ANSWER_FAULT};
    struct net_client *holder = stage_commander(&stage, OPERATES);
    client_ask(&stage, holder, "SET 1 LOCK GA 3 0", "200 OK");
    for (unsigned a = 0; a < sizeof answers / sizeof answers[0]; a++) {
        stage.host.answer = answers[a];
        stage.host.simulate_fault = a % 2 == 0 ? NULL : "no such fault";
        for (enum stage_listener right = ADMINISTERS; right <= OBSERVES; right++) {
            struct net_client *client = stage_commander(&stage, right);
            for (size_t i = 0; i < sizeof set_lines / sizeof set_lines[0]; i++) {
                char would[256];
                char does[256];
                answer_to(client, "CHECK", set_lines[i], would, sizeof would);
                answer_to(client, "SET", set_lines[i], does, sizeof does);
                if (strcmp(would, does) != 0) {
                    fail_msg("SET %s:%s; CHECK:%s", set_lines[i], does, would);
                }
            }
            client_ask(&stage, client, "TERM 0 SESSION", "200 OK"); /* its locks go */
        }
    }
}

static void delay_ends_the_horn(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    client_ask(&stage, client, "SET 1 GA 3 0 1 2000", "200 OK");
    stage_pass_s(&stage, 1);
    client_ask(&stage, client, "GET 1 GA 3 0", "100 INFO 1 GA 3 0 1");
    stage_pass_s(&stage, 1);
    client_ask(&stage, client, "GET 1 GA 3 0", "100 INFO 1 GA 3 0 0");
    assert_int_equal(stage.host.request.kind, REQUEST_HORN_OFF);
    assert_int_equal(stage.host.requests, 2);
}

static void later_set_takes_the_place_of_a_running_delay(void **state) {
    (void)state;
    static const char *const later[] = {"SET 1 GA 3 0 1 -1", "SET 1 GA 3 0 1 0",
                                        "SET 1 GA 3 0 0 500"};
    struct net_client *client = stage_commander(&stage, OPERATES);
    for (size_t i = 0; i < sizeof later / sizeof later[0]; i++) {
        client_ask(&stage, client, "SET 1 GA 3 0 1 2000", "200 OK");
        client_ask(&stage, client, later[i], "200 OK");
        unsigned requests = stage.host.requests;
        stage_pass_s(&stage, 10);
        assert_int_equal(stage.host.requests, requests);
    }
}

static void delay_outlives_its_session(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    client_ask(&stage, client, "SET 1 GA 3 0 1 2000", "200 OK");
    client_leave(client, true);
    stage_pass_s(&stage, 2);
    assert_int_equal(stage.host.request.kind, REQUEST_HORN_OFF);
}

static void delay_of_a_momentary_port_undoes_nothing(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    client_ask(&stage, client, "SET 1 GA 1 3 1 100", "200 OK");
    client_ask(&stage, client, "SET 1 GA 11 1 1 100", "200 OK");
    stage_pass_s(&stage, 10);
    assert_int_equal(stage.host.requests, 2);
    client_ask(&stage, client, "GET 1 GA 1 3", "100 INFO 1 GA 1 3 1");
}

static void model_time_is_set_and_read(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    CHECK_EXCHANGES(client, {"INIT 0 TIME 12 1", "200 OK"},
                    {"GET 0 TIME", "100 INFO 0 TIME 0 0 0 0"}, {"SET 0 TIME 3 23 59 0", "200 OK"},
                    {"GET 0 DESCRIPTION TIME", "101 INFO 0 TIME 12 1"});
    stage_pass_s(&stage, 10);
    CHECK_EXCHANGES(client, {"GET 0 TIME", "100 INFO 0 TIME 4 0 1 0"},
                    {"INIT 0 TIME 0 1", "412 ERROR wrong value"},
                    {"SET 0 TIME 3 24 0 0", "412 ERROR wrong value"},
                    {"SET 0 TIME 3 1 0", "419 ERROR list too short"}, {"TERM 0 TIME", "200 OK"},
                    {"GET 0 TIME", "416 ERROR no data"}, {"TERM 0 TIME", "200 OK"},
                    {"SET 0 TIME 5 6 7 8", "200 OK"}, {"GET 0 TIME", "100 INFO 0 TIME 5 6 7 8"},
                    {"GET 0 DESCRIPTION TIME", "101 INFO 0 TIME 1 1"});
}

/* For those in the daemon who follow the layout's day. */
static void host_knows_the_minute_of_the_layouts_day(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    unsigned minute;
    uint64_t next_us;
    assert_false(net_server_minute(stage.server, &minute, &next_us));
    CHECK_EXCHANGES(client, {"INIT 0 TIME 12 1", "200 OK"}, {"SET 0 TIME 3 18 30 0", "200 OK"});
    assert_int_equal(stage.host.clock_changes, 2);
    assert_true(net_server_minute(stage.server, &minute, &next_us));
    assert_int_equal(minute, 18 * 60 + 30);
    assert_int_equal(next_us - stage.host.now_us, 5000000); /* twelve model seconds in one */
    stage_pass_s(&stage, 5);
    assert_true(net_server_minute(stage.server, &minute, &next_us));
    assert_int_equal(minute, 18 * 60 + 31);
    client_ask(&stage, client, "TERM 0 TIME", "200 OK");
    assert_int_equal(stage.host.clock_changes, 3);
    assert_false(net_server_minute(stage.server, &minute, &next_us));
}

static void messages_go_to_the_world_only_from_administrators(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, ADMINISTERS);
    CHECK_EXCHANGES(client, {"SET 0 GM 0 0 SIMULATE 2 fault stall on", "200 OK"},
                    {"SET 0 GM 0 0 SIMULATE 3 fault stall on", "412 ERROR wrong value"},
                    {"SET 0 GM 0 0 SIMULATE", "412 ERROR wrong value"},
                    {"SET 0 GM 0 0 SIMULATE 0 fault stall on", "412 ERROR wrong value"});
    assert_string_equal(stage.host.simulated, "1: fault stall on");
    stage.host.simulate_fault = "no such fault";
    client_ask(&stage, client, "SET 0 GM 0 0 SIMULATE 1 fault gremlins on",
               "412 ERROR wrong value");
}

static void nobody_speaks_in_the_servers_name(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, ADMINISTERS);
    CHECK_EXCHANGES(client, {"SET 0 GM 0 0 FAULT 1 none -", "415 ERROR forbidden"},
                    {"SET 0 GM 0 0 PHASE 1 lined none -", "415 ERROR forbidden"},
                    {"SET 0 GM 0 0 MOTION 1 0 deg", "415 ERROR forbidden"},
                    {"SET 0 GM 0 0 REFUSED 1", "415 ERROR forbidden"},
                    {"SET 0 GM 0 0 TRAIN 1", "415 ERROR forbidden"},
                    {"SET 0 GM 0 0 GUARD 1", "415 ERROR forbidden"},
                    {"SET 0 GM 0 0 FAULTS 1", "200 OK"},
                    {"SET 0 GM 9 0 HELLO", "412 ERROR wrong value"},
                    {"SET 0 GM 1 0 HELLO", "412 ERROR wrong value"} /* not an INFO session */);
}

/* The state RUNNING is as old as the last start or reset. */
static void state_of_the_server_is_stamped_with_its_origin(void **state) {
    (void)state;
    struct net_client *admin = stage_commander(&stage, ADMINISTERS);
    stage_pass_s(&stage, 5);
    client_send(&stage, admin, "GET 0 SERVER\n");
    client_expect_whole(&stage, admin, "1000.000 100 INFO 0 SERVER RUNNING");
    client_ask(&stage, admin, "RESET 0 SERVER", "200 OK");
    stage_pass_s(&stage, 5);
    client_send(&stage, admin, "GET 0 SERVER\n");
    client_expect_whole(&stage, admin, "1005.000 100 INFO 0 SERVER RUNNING");
    struct net_client *listener = stage_connect(&stage, OBSERVES);
    client_send(&stage, listener, "SET CONNECTIONMODE SRCP INFO\nGO\n");
    const char *line;
    while ((line = client_line(&stage, listener)) != NULL && strstr(line, " SERVER RUN") == NULL) {
    }
    assert_string_equal(line, "1005.000 100 INFO 0 SERVER RUNNING");
}

static void reset_of_the_server_drops_locks_and_clock(void **state) {
    (void)state;
    struct net_client *client = stage_commander(&stage, OPERATES);
    client_ask(&stage, client, "SET 1 LOCK GA 1 0", "200 OK");
    client_ask(&stage, client, "INIT 0 TIME 1 1", "200 OK");
    struct net_client *listener = stage_listener(&stage);
    struct net_client *admin = stage_commander(&stage, ADMINISTERS);
    client_expect(&stage, listener, "101 INFO 0 SESSION 3 COMMAND");
    client_ask(&stage, admin, "RESET 0 SERVER", "200 OK");
    client_expect(&stage, listener, "100 INFO 0 SERVER RESETTING");
    client_expect(&stage, listener, "102 INFO 1 LOCK GA 1");
    client_expect(&stage, listener, "102 INFO 0 TIME");
    client_expect(&stage, listener, "100 INFO 0 SERVER RUNNING");
    client_ask(&stage, client, "GET 1 LOCK GA 1", "100 INFO 1 LOCK GA 1 0 0");
    assert_int_equal(stage.host.requests, 0); /* S10: not the bridge's business */
}

static void term_of_the_server_ends_all_and_then_the_daemon(void **state) {
    (void)state;
    struct net_client *waiting = stage_commander(&stage, OPERATES);
    client_send(&stage, waiting, "WAIT 1 FB 3 1 1000\n");
    struct net_client *listener = stage_listener(&stage);
    struct net_client *shaking = stage_connect(&stage, OPERATES);
    client_line(&stage, shaking);
    struct net_client *admin = stage_commander(&stage, ADMINISTERS);
    client_expect(&stage, listener, "101 INFO 0 SESSION 3 COMMAND");
    client_ask(&stage, admin, "TERM 0 SERVER", "200 OK");
    client_expect(&stage, listener, "100 INFO 0 SERVER TERMINATING");
    client_expect_end(&stage, admin);
    client_expect_end(&stage, waiting);
    client_expect_end(&stage, shaking);
    assert_int_equal(net_server_port(stage.server, OPERATES), 0); /* no longer open */
    assert_int_equal(stage.host.stops, 0);
    struct net_client *all[] = {waiting, listener, shaking, admin};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        client_leave(all[i], false);
    }
    while (stage.host.stops == 0) {
        stage_turn(&stage);
    }
    stage_settle(&stage);
    assert_int_equal(stage.host.stops, 1);
}

#define ON_STAGE(test) cmocka_unit_test_setup_teardown(test, open_stage, close_stage)

int main(void) {
    const struct CMUnitTest tests[] = {
        ON_STAGE(states_of_a_lined_bridge_are_read),
        ON_STAGE(descriptions_say_what_is_there),
        ON_STAGE(set_asks_the_bridge_what_the_port_means),
        ON_STAGE(jog_is_for_administrators_and_its_value_says_how_hard),
        ON_STAGE(throttle_is_for_operators_and_its_value_says_how_fast),
        ON_STAGE(throttle_back_at_0_lets_go),
        ON_STAGE(value_0_of_a_momentary_port_does_nothing),
        ON_STAGE(init_takes_what_the_configuration_set_up),
        ON_STAGE(faults_are_found_in_their_order),
        ON_STAGE(observers_may_look_and_wait_but_not_touch),
        ON_STAGE(only_administrators_end_others),
        ON_STAGE(refusals_are_413_and_impossible_requests_415),
        ON_STAGE(s9_a_stand_that_is_local_bars_all_but_the_stops),
        ON_STAGE(check_changes_nothing),
        ON_STAGE(check_answers_as_set_would),
        ON_STAGE(delay_ends_the_horn),
        ON_STAGE(later_set_takes_the_place_of_a_running_delay),
        ON_STAGE(delay_outlives_its_session),
        ON_STAGE(delay_of_a_momentary_port_undoes_nothing),
        ON_STAGE(model_time_is_set_and_read),
        ON_STAGE(host_knows_the_minute_of_the_layouts_day),
        ON_STAGE(messages_go_to_the_world_only_from_administrators),
        ON_STAGE(nobody_speaks_in_the_servers_name),
        ON_STAGE(state_of_the_server_is_stamped_with_its_origin),
        ON_STAGE(reset_of_the_server_drops_locks_and_clock),
        ON_STAGE(term_of_the_server_ends_all_and_then_the_daemon),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
