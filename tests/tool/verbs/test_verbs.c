#include "support/check.h"
#include "support/tool/tool_run.h"
#include "support/tool/tool_server.h"

#include <cjson/cJSON.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define PHASE(words) "3.000 100 INFO 0 GM 0 0 PHASE 1 " words "\n"
#define OK_REPLY "3.000 200 OK\n"

/* The Kettle Narrows drawbridge at rest, as its server tells of it. */
#define DEVICES                                                                                    \
    "1.000 101 INFO 1 GA 1 P span\n"                                                               \
    "1.000 101 INFO 1 GA 2 P lock\n1.000 100 INFO 1 GA 2 1 1\n"                                    \
    "1.000 101 INFO 1 GA 11 P signal main west\n1.000 100 INFO 1 GA 11 1 0\n"                      \
    "1.000 101 INFO 1 GA 12 P signal main east\n1.000 100 INFO 1 GA 12 1 1\n"                      \
    "1.000 101 INFO 1 FB 1 P seated\n1.000 100 INFO 1 FB 1 1\n"                                    \
    "1.000 101 INFO 1 FB 102 P stop main west\n1.000 100 INFO 1 FB 102 1\n"                        \
    "1.000 100 INFO 1 POWER ON\n"                                                                  \
    "1.000 100 INFO 1 LOCK GA 11 0 0\n"                                                            \
    "1.000 100 INFO 0 GM 0 0 MOTION 1 0.0 deg 0.00 deg/s - A\n"
#define LINED DEVICES "1.000 100 INFO 0 GM 0 0 PHASE 1 lined none -\n"
#define FAULTED                                                                                    \
    DEVICES "1.000 100 INFO 0 GM 0 0 FAULT 1 stall the motor current stayed at its limit\n"        \
            "1.000 100 INFO 0 GM 0 0 PHASE 1 fault none cause to be fixed and acknowledged\n"

static void a_wrong_command_line_connects_nowhere(void **state) {
    (void)state;
    static const char *const lines[] = {
        "",     "dance",        "raise up",  "power", "power maybe", "signal west", "signal 11 go",
        "wait", "wait raising", "wait FB x", "send",
    };
    for (size_t i = 0; i < COUNT(lines); i++) {
        struct tool_run run = {.port = 1};
        tool_run_words(&run, lines[i]);
        tool_run_ends(run, OUTCOME_USAGE, "", "drawtender: ");
    }
}

static void state_shows_the_bridge(void **state) {
    (void)state;
    const struct tool_server_step script[] = {FAKE_LINK(LINED), {0}};
    struct tool_run run = tool_run_against(script, "state", 0);
    static const char *const rows[] = {
        "phase      lined\n",
        "fault      none\n",
        "position   0.0 deg, 0.00 deg/s\n",
        "contacts   seated yes\n",
        "gear       span lock locked\n",
        "power      on\n",
        "signals    main west stop (GA 11)\n",
        "           main east proceed (GA 12)\n",
        "sections   stop main west occupied (FB 102)\n",
        "locks      signal main west by the bridge\n",
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        tool_run_says(run.out, rows[i]);
    }
    tool_run_ends(run, OUTCOME_DONE, "", "");
}

static void state_is_whole_though_the_phase_comes_first(void **state) {
    (void)state;
    const struct tool_server_step script[] = {FAKE_LINK(PHASE("lined none -") DEVICES), {0}};
    tool_run_ends(tool_run_against(script, "state", 0), OUTCOME_DONE, "seated yes", "");
}

static void state_tells_of_a_fault_by_its_exit_code(void **state) {
    (void)state;
    const struct tool_server_step script[] = {FAKE_LINK(FAULTED), {0}};
    tool_run_ends(tool_run_against(script, "state", 0), OUTCOME_FAULT,
                  "fault      stall: the motor current stayed at its limit", "fault is latched");
}

static void state_is_json_when_asked(void **state) {
    (void)state;
    const struct tool_server_step script[] = {FAKE_LINK(LINED), {0}};
    struct tool_run run = tool_run_against(script, "state --json", 0);
    cJSON *object = cJSON_Parse(run.out);
    assert_non_null(object);
    const cJSON *outcome = cJSON_GetObjectItem(object, "outcome");
    assert_string_equal(cJSON_GetStringValue(outcome), "done");
    assert_string_equal(cJSON_GetStringValue(cJSON_GetObjectItem(object, "phase")), "lined");
    assert_true(cJSON_IsNull(cJSON_GetObjectItem(object, "fault")));
    assert_true(cJSON_IsTrue(cJSON_GetObjectItem(object, "power")));
    const cJSON *motion = cJSON_GetObjectItem(object, "motion");
    assert_true(cJSON_IsNull(cJSON_GetObjectItem(motion, "current_a")));
    const cJSON *signal = cJSON_GetArrayItem(cJSON_GetObjectItem(object, "devices"), 2);
    assert_string_equal(cJSON_GetStringValue(cJSON_GetObjectItem(signal, "shows")), "stop");
    const cJSON *session = cJSON_GetObjectItem(cJSON_GetObjectItem(signal, "lock"), "session");
    assert_int_equal((int)cJSON_GetNumberValue(session), 0);
    cJSON_Delete(object);
    tool_run_ends(run, OUTCOME_DONE, "\n", "");
}

#define GUARDED                                                                                    \
    "1.000 100 INFO 0 GM 0 0 GUARD 1 by-time S3,S4 home signal main east at stop: told, 3 s\n"     \
    "1.000 100 INFO 0 GM 0 0 GUARD 1 by-word S9 stop that needs no network: a client\n" LINED

static void state_tells_what_does_not_guard_as_well_as_it_could(void **state) {
    (void)state;
    const struct tool_server_step script[] = {FAKE_LINK(GUARDED), {0}};
    tool_run_ends(tool_run_against(script, "state", 0), OUTCOME_DONE,
                  "  guards     by-time (S3,S4) home signal main east at stop: told, 3 s\n"
                  "             by-word (S9) stop that needs no network: a client\n",
                  "");
    struct tool_run run = tool_run_against(script, "state --json", 0);
    tool_run_says(run.out,
                  "\"guards\":[{\"how\":\"by-time\",\"invariants\":[\"S3\",\"S4\"],"
                  "\"words\":\"home signal main east at stop: told, 3 s\"},{\"how\":\"by-word\","
                  "\"invariants\":[\"S9\"],\"words\":\"stop that needs no network: a client\"}]");
    tool_run_ends(run, OUTCOME_DONE, "\n", "");
}

static void raise_shows_its_way_and_ends_open(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED),
        FAKE_GRANT("SET 1 GA 1 1 1 -1", PHASE("clearing up stop section to be clear (main, west)")),
        {FAKE_SEND, 1, PHASE("raising up span to finish moving")},
        {FAKE_SEND, 1, "3.000 100 INFO 0 GM 0 0 MOTION 1 9.9 deg 2.00 deg/s 1.27 A\n"},
        {FAKE_SEND, 1, "3.000 100 INFO 0 GM 0 0 MOTION 1 12.4 deg 2.00 deg/s 1.27 A\n"},
        {FAKE_SEND, 1, "3.000 100 INFO 0 GM 0 0 MOTION 1 14.4 deg 2.00 deg/s 1.27 A\n"},
        {FAKE_SEND, 1, PHASE("open none -")},
        {0}};
    struct tool_run run = tool_run_against(script, "raise", 0);
    /* A line for every ten degrees where nothing is redrawn, not for each. */
    assert_null(strstr(run.err, "9.9"));
    assert_null(strstr(run.err, "14.4"));
    tool_run_says(run.err, "raising: 12.4 deg, 2.00 deg/s, 1.27 A\n");
    assert_null(strchr(run.err, '\033'));
    tool_run_says(run.err, "clearing: stop section to be clear (main, west)\n");
    tool_run_ends(run, OUTCOME_DONE, "open for the river\n", "raising");
}

/* The last line alone must tell why, for whoever looks later. */
static void an_opening_that_was_given_up_keeps_its_cause(void **state) {
    (void)state;
    static const char *const ends[] = {PHASE("proving none rails"), PHASE("held none a request")};
    for (size_t i = 0; i < 2; i++) {
        const struct tool_server_step script[] = {
            FAKE_LINK(LINED),
            FAKE_GRANT("SET 1 GA 1 1 1 -1", PHASE("clearing up somebody to say so (main)")),
            {FAKE_SEND, 1, ends[i]},
            {0}};
        tool_run_ends(tool_run_against(script, "raise", 0), OUTCOME_REFUSED, "",
                      "; it waited for somebody to say so (main)\n");
    }
    const struct tool_server_step stopped[] = {
        FAKE_LINK(LINED),
        FAKE_GRANT("SET 1 GA 1 1 1 -1", PHASE("raising up span on its way")),
        {FAKE_SEND, 1, PHASE("held none a request")},
        {0}};
    tool_run_ends(tool_run_against(stopped, "raise", 0), OUTCOME_REFUSED, "",
                  "stopped by an operator, or abandoned\n");
}

static void raise_redraws_one_line_on_a_terminal(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED),
        FAKE_GRANT("SET 1 GA 1 1 1 -1", PHASE("raising up span to finish moving")),
        {FAKE_SEND, 1, "3.000 100 INFO 0 GM 0 0 MOTION 1 12.4 deg 2.00 deg/s 1.27 A\n"},
        {FAKE_SEND, 1, PHASE("clearing up a wait whose words are longer than the line is wide")},
        {FAKE_SEND, 1, PHASE("open none -")},
        {0}};
    struct tool_server server;
    tool_server_start(&server, script);
    struct tool_run run = {.port = server.port, .is_terminal = true};
    tool_run_words(&run, "raise");
    assert_true(tool_server_finish(&server));
    assert_null(strchr(run.err, '\n'));
    tool_run_says(run.err,
                  "\033[Kclearing: a wait whose words are longer\r"); /* 39 of 40 columns */
    tool_run_ends(run, OUTCOME_DONE, "open for the river\n",
                  "\r\033[Kraising: 12.4 deg, 2.00 deg/s, 1.27 A");
}

static void lower_asks_at_the_address_that_is_the_span(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK("1.000 101 INFO 1 GA 41 P span\n" PHASE("open none -")),
        FAKE_GRANT("SET 1 GA 41 0 1 -1", PHASE("open down -")),
        {FAKE_SEND, 1, PHASE("lined none -")},
        {0}};
    tool_run_ends(tool_run_against(script, "lower", 0), OUTCOME_DONE, "lined for rail\n", "");
}

static void raise_that_need_not_be_waited_for_ends_at_the_grant(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED), {FAKE_EXPECT, 0, "SET 1 GA 1 1 1 -1"}, {FAKE_SEND, 0, OK_REPLY}, {0}};
    tool_run_ends(tool_run_against(script, "raise --no-wait", 0), OUTCOME_DONE, "granted: raise\n",
                  "");
}

static void quiet_says_nothing(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(PHASE("open none -")), FAKE_GRANT("SET 1 GA 1 1 1 -1", ""), {0}};
    struct tool_run run = tool_run_against(script, "raise --quiet", 0);
    assert_string_equal(run.out, "");
    assert_string_equal(run.err, "");
    tool_run_ends(run, OUTCOME_DONE, "", "");
}

static void refusals_come_with_their_reason(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED),
        FAKE_REFUSE("SET 1 GA 1 1 1 -1",
                    "3.000 100 INFO 0 GM 0 0 REFUSED 1 GA 1 9 another's\n"
                    "3.000 100 INFO 0 GM 0 0 REFUSED 1 GA 1 7 not known where the span is\n"),
        {0}};
    tool_run_ends(tool_run_against(script, "raise", 0), OUTCOME_REFUSED, "",
                  "not known where the span is");
}

static void a_refusal_without_a_reason_is_told_by_its_code(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED),
        FAKE_REFUSE("SET 1 GA 1 1 1 -1", "3.000 100 INFO 0 GM 0 0 REFUSED 1 GA 1 9 another's\n"),
        {0}};
    tool_run_ends(tool_run_against(script, "raise", 0), OUTCOME_REFUSED, "",
                  "413 temporarily prohibited");
}

static void a_refusal_for_a_fault_ends_as_fault(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(FAULTED),
        FAKE_REFUSE("SET 1 GA 1 0 1 -1",
                    "3.000 100 INFO 0 GM 0 0 REFUSED 1 GA 1 7 a fault is latched\n"),
        {0}};
    tool_run_ends(tool_run_against(script, "lower", 0), OUTCOME_FAULT, "", "a fault is latched");
}

static void a_fault_on_the_way_ends_the_wait(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED),
        FAKE_GRANT("SET 1 GA 1 1 1 -1", PHASE("raising up -")),
        {FAKE_SEND, 1, PHASE("fault none -")},
        {FAKE_SEND, 1, "3.000 100 INFO 0 GM 0 0 FAULT 1 drift the span moved\n"},
        FAKE_MARK("3"),
        {0}};
    tool_run_ends(tool_run_against(script, "raise", 0), OUTCOME_FAULT, "", "drift: the span moved");
}

static void being_overtaken_is_a_refusal(void **state) {
    (void)state;
    static const char *const phases[] = {PHASE("held none -"), PHASE("lowering down -"),
                                         PHASE("proving none -")};
    for (size_t i = 0; i < COUNT(phases); i++) {
        const struct tool_server_step script[] = {
            FAKE_LINK(LINED),
            FAKE_GRANT("SET 1 GA 1 1 1 -1", PHASE("raising up -")),
            {FAKE_SEND, 1, phases[i]},
            {0}};
        tool_run_ends(tool_run_against(script, "raise", 0), OUTCOME_REFUSED, "",
                      "drawtender: raise: ");
    }
}

static void a_limit_that_runs_out_leaves_the_bridge_going(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED), FAKE_GRANT("SET 1 GA 1 1 1 -1", PHASE("raising up -")), {0}};
    tool_run_ends(tool_run_against(script, "raise --limit 10ms", 0), OUTCOME_TIMED_OUT, "",
                  "the limit expired in phase raising; the bridge continues to raise");
}

static void an_interrupt_stops_the_span(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED),          FAKE_GRANT("SET 1 GA 1 1 1 -1", PHASE("raising up -")),
        {FAKE_INTERRUPT, 0, NULL}, {FAKE_EXPECT, 0, "SET 1 GA 1 2 1 -1"},
        {FAKE_SEND, 0, OK_REPLY},  {0}};
    tool_run_ends(tool_run_against(script, "raise", 0), OUTCOME_INTERRUPTED, "",
                  "asked the span to stop");
}

static void an_interrupt_that_cannot_stop_the_span_says_so(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED),
        FAKE_GRANT("SET 1 GA 1 1 1 -1", PHASE("raising up -")),
        {FAKE_CLOSE, 0, NULL},
        {FAKE_INTERRUPT, 0, NULL},
        {0}};
    tool_run_ends(tool_run_against(script, "raise", 0), OUTCOME_UNREACHABLE, "",
                  "could NOT be stopped");
}

static void stops_do_not_wait_for_a_picture(void **state) {
    (void)state;
    static const struct {
        const char *verb, *line;
    } cases[] = {{"stop", "SET 1 GA 1 2 1 -1"}, {"emergency-stop", "SET 1 GA 1 3 1 -1"}};
    for (size_t i = 0; i < COUNT(cases); i++) {
        const struct tool_server_step script[] = {FAKE_HELLO(0, "COMMAND", "7"),
                                                  {FAKE_EXPECT, 0, cases[i].line},
                                                  {FAKE_SEND, 0, OK_REPLY},
                                                  {0}};
        tool_run_ends(tool_run_against(script, cases[i].verb, 0), OUTCOME_DONE, "stop", "");
    }
}

static void stops_find_a_span_that_is_elsewhere(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_HELLO(2, "COMMAND", "6"),
        {FAKE_EXPECT, 2, "SET 1 GA 1 3 1 -1"},
        {FAKE_SEND, 2, "3.000 421 ERROR unsupported device\n"},
        FAKE_LINK("1.000 101 INFO 1 GA 41 P span\n" PHASE("raising up -")),
        {FAKE_EXPECT, 0, "SET 1 GA 41 3 1 -1"},
        {FAKE_SEND, 0, OK_REPLY},
        {0}};
    tool_run_ends(tool_run_against(script, "emergency-stop", 0), OUTCOME_DONE, "emergency stop",
                  "");
}

static void a_stop_that_is_forbidden_is_refused(void **state) {
    (void)state;
    const struct tool_server_step script[] = {FAKE_HELLO(2, "COMMAND", "6"),
                                              {FAKE_EXPECT, 2, "SET 1 GA 1 2 1 -1"},
                                              {FAKE_SEND, 2, "3.000 415 ERROR forbidden\n"},
                                              FAKE_LINK(LINED),
                                              {0}};
    tool_run_ends(tool_run_against(script, "stop", 0), OUTCOME_REFUSED, "", "415 forbidden");
}

static void acknowledge_tells_what_came_of_it(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(FAULTED), FAKE_GRANT("SET 1 GA 1 4 1 -1", PHASE("held none -")), {0}};
    tool_run_ends(tool_run_against(script, "acknowledge", 0), OUTCOME_DONE, "the bridge is held",
                  "");
}

static void acknowledge_without_a_fault_says_so(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED), FAKE_GRANT("SET 1 GA 1 4 1 -1", PHASE("lined none -")), {0}};
    tool_run_ends(tool_run_against(script, "acknowledge", 0), OUTCOME_DONE,
                  "there was no fault to acknowledge; the bridge is lined", "");
}

static void seen_clear_tells_whether_it_was_waited_for(void **state) {
    (void)state;
    const struct tool_server_step taken[] = {
        FAKE_LINK(LINED),
        FAKE_GRANT("SET 1 GA 1 7 1 -1", "3.000 100 INFO 1 GA 1 7 1\n" PHASE("warning up -")),
        {0}};
    tool_run_ends(tool_run_against(taken, "seen-clear", 0), OUTCOME_DONE,
                  "seen clear: valid for 20 s, for this opening; the bridge is warning", "");
    const struct tool_server_step needless[] = {
        FAKE_LINK(LINED), FAKE_GRANT("SET 1 GA 1 7 1 -1", ""), {0}};
    tool_run_ends(tool_run_against(needless, "seen-clear", 0), OUTCOME_DONE,
                  "nothing is waiting for that report; the bridge is lined", "");
}

static void power_is_switched(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED), FAKE_GRANT("SET 1 POWER OFF", "3.000 100 INFO 1 POWER OFF\n"), {0}};
    tool_run_ends(tool_run_against(script, "power off", 0), OUTCOME_DONE, "power off\n", "");
}

static void signals_go_by_name_label_and_address(void **state) {
    (void)state;
    static const char *const lines[] = {"signal main west proceed", "signal 11 proceed",
                                        "signal signal main west proceed"};
    for (size_t i = 0; i < COUNT(lines); i++) {
        const struct tool_server_step script[] = {
            FAKE_LINK(LINED),
            FAKE_GRANT("SET 1 GA 11 1 1 -1", "3.000 100 INFO 1 GA 11 1 1\n"),
            {0}};
        tool_run_ends(tool_run_against(script, lines[i], 0), OUTCOME_DONE,
                      "signal main west: proceed\n", "");
    }
}

static void a_signal_that_is_held_does_not_pretend(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED), FAKE_GRANT("SET 1 GA 11 1 1 -1", ""), {0}};
    tool_run_ends(tool_run_against(script, "signal main west proceed", 0), OUTCOME_DONE,
                  "signal main west: stop; granted, not yet in effect, held\n", "");
}

static void a_signal_that_is_not_there_is_answered_with_those_that_are(void **state) {
    (void)state;
    const struct tool_server_step script[] = {FAKE_LINK(LINED), {0}};
    tool_run_ends(tool_run_against(script, "signal north stop", 0), OUTCOME_REFUSED, "",
                  "no signal 'north'; there are: main west (11) main east (12)");
}

static void send_prints_the_reply_as_it_came(void **state) {
    (void)state;
    static const struct {
        const char *reply, *out;
        enum outcome outcome;
    } cases[] = {
        {"12.345 100 INFO 1 FB 1 1\r\n", "12.345 100 INFO 1 FB 1 1\n", OUTCOME_DONE},
        {"12.345 200 OK\n", "12.345 200 OK\n", OUTCOME_DONE},
        {"12.345 412 ERROR wrong value\n", "12.345 412 ERROR wrong value\n", OUTCOME_REFUSED},
        {"12.345 417 ERROR timeout\n", "12.345 417 ERROR timeout\n", OUTCOME_TIMED_OUT},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        const struct tool_server_step script[] = {FAKE_HELLO(0, "COMMAND", "7"),
                                                  {FAKE_EXPECT, 0, "WAIT 1 FB 1 1 -1"},
                                                  {FAKE_SEND, 0, cases[i].reply},
                                                  {0}};
        tool_run_ends(tool_run_against(script, "send WAIT 1 FB 1 1 -1", 0), cases[i].outcome,
                      cases[i].out, "");
    }
}

static void send_lets_no_second_line_through(void **state) {
    (void)state;
    static const char *const lines[] = {"send GO\nTERM", "send GO\r", "send G\xc3\x96"};
    for (size_t i = 0; i < COUNT(lines); i++) {
        struct tool_run run = {.port = 1};
        tool_run_words(&run, lines[i]);
        tool_run_ends(run, OUTCOME_USAGE, "", "printable ASCII");
    }
}

static void send_takes_no_line_longer_than_the_protocol_does(void **state) {
    (void)state;
    char words[1100] = "send ";
    char *line = words + 5;
    memset(line, 'A', 1000); /* one more than fits before the line's end; limit from memory */
    struct tool_run run = {.port = 1};
    tool_run_words(&run, words);
    tool_run_ends(run, OUTCOME_USAGE, "", "longer than 999 characters");

    line[999] = '\0';
    const struct tool_server_step script[] = {FAKE_HELLO(0, "COMMAND", "7"),
                                              {FAKE_EXPECT, 0, line},
                                              {FAKE_SEND, 0, "1.000 410 ERROR unknown command\n"},
                                              {0}};
    tool_run_ends(tool_run_against(script, words, 0), OUTCOME_REFUSED, "410", "");
}

static void wait_ends_when_it_is_so(void **state) {
    (void)state;
    static const struct {
        const char *words, *line;
    } cases[] = {
        {"wait open", PHASE("open none -")},
        {"wait held", PHASE("held none -")},
        {"wait fault", PHASE("fault none -")},
        {"wait FB 102 0", "3.000 100 INFO 1 FB 102 0\n"},
        {"wait GA 11 1", "3.000 100 INFO 1 GA 11 1 1\n"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        const struct tool_server_step script[] = {
            FAKE_LINK(LINED), {FAKE_SEND, 1, cases[i].line}, {0}};
        tool_run_ends(tool_run_against(script, cases[i].words, 0), OUTCOME_DONE, "", "");
    }
}

static void wait_that_cannot_end_well_says_so(void **state) {
    (void)state;
    const struct tool_server_step lined[] = {FAKE_LINK(LINED), {0}};
    tool_run_ends(tool_run_against(lined, "wait open --limit 10ms", 0), OUTCOME_TIMED_OUT, "",
                  "lined");
    tool_run_ends(tool_run_against(lined, "wait FB 77", 0), OUTCOME_REFUSED, "", "no such device");
    const struct tool_server_step faulted[] = {FAKE_LINK(FAULTED), {0}};
    tool_run_ends(tool_run_against(faulted, "wait open", 0), OUTCOME_FAULT, "", "stall");
}

static void follow_prints_what_changes(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED),
        {FAKE_SEND, 1, PHASE("clearing up home signal to be proved at stop (main, west)")},
        {FAKE_SEND, 1, "3.000 100 INFO 1 GA 12 1 0\n3.000 100 INFO 1 GA 12 0 1\n"},
        {FAKE_SEND, 1, "3.000 100 INFO 1 FB 102 0\n3.000 102 INFO 1 LOCK GA 11\n"},
        {FAKE_SEND, 1, "3.000 100 INFO 0 GM 0 0 TRAIN 1 freight stops\n"},
        {FAKE_SEND, 1, "3.000 100 INFO 0 GM 0 0 REFUSED 1 GA 1 9 no\n"},
        {FAKE_CLOSE, 1, NULL},
        {0}};
    struct tool_run run = tool_run_against(script, "follow", 0);
    static const char *const lines[] = {
        "  clearing, goal up: home signal to be proved at stop (main, west)\n",
        "  signal main east: stop\n",
        "  stop main west: clear\n",
        "  signal main west: not held\n",
        "  train: freight stops\n",
        "  refused to session 9: no\n",
    };
    for (size_t i = 0; i < COUNT(lines); i++) {
        tool_run_says(run.out, lines[i]);
    }
    assert_null(strstr(run.out, "port 0")); /* what port 1 has said */
    tool_run_ends(run, OUTCOME_UNREACHABLE, "phase", "closed the connection");
}

static void follow_is_one_object_a_line(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED),
        {FAKE_SEND, 1, PHASE("clearing up -") "3.250 100 INFO 1 POWER OFF\n"},
        {FAKE_SEND, 1, "3.000 100 INFO 0 GM 0 0 FAULT 1 stall it \"stalled\"\n"},
        {FAKE_CLOSE, 1, NULL},
        {0}};
    struct tool_run run = tool_run_against(script, "follow --json", 0);
    static const char *const events[] = {"state", "phase", "power", "fault"};
    char *rest = NULL;
    char *line = strtok_r(run.out, "\n", &rest);
    for (size_t i = 0; i < COUNT(events); i++) {
        cJSON *object = cJSON_Parse(line);
        assert_string_equal(cJSON_GetStringValue(cJSON_GetObjectItem(object, "event")), events[i]);
        cJSON_Delete(object);
        line = strtok_r(NULL, "\n", &rest);
    }
    tool_run_ends(run, OUTCOME_UNREACHABLE, "", "closed the connection");
}

static void follow_gives_its_commanding_session_back(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        FAKE_LINK(LINED), {FAKE_GONE, 0, NULL}, {FAKE_CLOSE, 1, NULL}, {0}};
    tool_run_ends(tool_run_against(script, "follow", 0), OUTCOME_UNREACHABLE, "lined", "closed");
}

static void follow_ends_well_at_its_limit(void **state) {
    (void)state;
    const struct tool_server_step script[] = {FAKE_LINK(LINED), {0}};
    tool_run_ends(tool_run_against(script, "follow --limit 10ms", 0), OUTCOME_DONE, "lined", "");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_wrong_command_line_connects_nowhere),
        cmocka_unit_test(state_shows_the_bridge),
        cmocka_unit_test(state_is_whole_though_the_phase_comes_first),
        cmocka_unit_test(state_tells_of_a_fault_by_its_exit_code),
        cmocka_unit_test(state_is_json_when_asked),
        cmocka_unit_test(state_tells_what_does_not_guard_as_well_as_it_could),
        cmocka_unit_test(raise_shows_its_way_and_ends_open),
        cmocka_unit_test(an_opening_that_was_given_up_keeps_its_cause),
        cmocka_unit_test(raise_redraws_one_line_on_a_terminal),
        cmocka_unit_test(lower_asks_at_the_address_that_is_the_span),
        cmocka_unit_test(raise_that_need_not_be_waited_for_ends_at_the_grant),
        cmocka_unit_test(quiet_says_nothing),
        cmocka_unit_test(refusals_come_with_their_reason),
        cmocka_unit_test(a_refusal_without_a_reason_is_told_by_its_code),
        cmocka_unit_test(a_refusal_for_a_fault_ends_as_fault),
        cmocka_unit_test(a_fault_on_the_way_ends_the_wait),
        cmocka_unit_test(being_overtaken_is_a_refusal),
        cmocka_unit_test(a_limit_that_runs_out_leaves_the_bridge_going),
        cmocka_unit_test(an_interrupt_stops_the_span),
        cmocka_unit_test(an_interrupt_that_cannot_stop_the_span_says_so),
        cmocka_unit_test(stops_do_not_wait_for_a_picture),
        cmocka_unit_test(stops_find_a_span_that_is_elsewhere),
        cmocka_unit_test(a_stop_that_is_forbidden_is_refused),
        cmocka_unit_test(acknowledge_tells_what_came_of_it),
        cmocka_unit_test(acknowledge_without_a_fault_says_so),
        cmocka_unit_test(seen_clear_tells_whether_it_was_waited_for),
        cmocka_unit_test(power_is_switched),
        cmocka_unit_test(signals_go_by_name_label_and_address),
        cmocka_unit_test(a_signal_that_is_held_does_not_pretend),
        cmocka_unit_test(a_signal_that_is_not_there_is_answered_with_those_that_are),
        cmocka_unit_test(send_prints_the_reply_as_it_came),
        cmocka_unit_test(send_lets_no_second_line_through),
        cmocka_unit_test(send_takes_no_line_longer_than_the_protocol_does),
        cmocka_unit_test(wait_ends_when_it_is_so),
        cmocka_unit_test(wait_that_cannot_end_well_says_so),
        cmocka_unit_test(follow_prints_what_changes),
        cmocka_unit_test(follow_is_one_object_a_line),
        cmocka_unit_test(follow_gives_its_commanding_session_back),
        cmocka_unit_test(follow_ends_well_at_its_limit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
