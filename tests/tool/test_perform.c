/* Session scripts, performed on the daemon itself. */
#include "support/check.h"
#include "support/daemon/daemon.h"
#include "support/tool/tool_dialogue.h"
#include "support/tool/tool_run.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* As in test_with_daemon.c: not faster. */
static const char pace[] = "20";

static int set_up(void **state) {
    struct daemon_run *daemon = calloc(1, sizeof *daemon);
    daemon_start(daemon, SOURCE_DIR "/tests/daemon/quiet-bridge.json", pace);
    *state = daemon;
    return 0;
}

static int tear_down(void **state) {
    daemon_end(*state, SIGTERM);
    free(*state);
    return 0;
}

static void write_script(char path[64], const char *text) {
    snprintf(path, 64, "/tmp/drawtender-script-%ld-XXXXXX", (long)getpid());
    int fd = mkstemp(path);
    assert_true(fd >= 0);
    assert_int_equal(write(fd, text, strlen(text)), strlen(text));
    close(fd);
}

/* Performs a script of this text; it must end so and say this. */
static void check(void **state, const char *options, const char *text, enum outcome outcome,
                  const char *out, const char *err) {
    char path[64];
    char words[160];
    write_script(path, text);
    struct daemon_run *daemon = *state;
    struct tool_run made = {.port = daemon->port};
    snprintf(words, sizeof words, "perform %s%s", path, options);
    tool_run_words(&made, words);
    unlink(path);
    tool_run_ends(made, outcome, out, err);
}

static void run(void **state, const char *words, enum outcome outcome, const char *out,
                const char *err) {
    struct daemon_run *daemon = *state;
    struct tool_run made = {.port = daemon->port};
    tool_run_words(&made, words);
    tool_run_ends(made, outcome, out, err);
}

/* With a train there an opening waits before it cuts the power, however slow the rest is. */
#define TRAIN_ON_SPAN "SET 0 GM 0 0 SIMULATE 1 contact main.span by-hand open\n"
#define TRAIN_HAS_GONE "SET 0 GM 0 0 SIMULATE 1 contact main.span by-hand free"

static void what_is_shown_at_the_end_is_as_new_as_the_last_reply(void **state) {
    run(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, " --json",
          "SET 1 GA 1 1 1 -1\nWAIT 1 FB 3 1 300\nSET 1 GA 1 0 1 -1\nWAIT 1 FB 5 1 300\n",
          OUTCOME_DONE, "\"phase\":\"lined\"", "");
}

static void the_example_is_checked_and_performed(void **state) {
    static const char file[] = SOURCE_DIR "/config/evening-session.script";
    char words[256];
    snprintf(words, sizeof words, "perform %s --dry-run", file);
    run(state, words, OUTCOME_DONE, "lines checked; nothing was sent", "");
    snprintf(words, sizeof words, "perform %s --scale 20", file);
    run(state, words, OUTCOME_DONE, "Good night.", "the span is open, trains away");
    run(state, "state", OUTCOME_DONE, "lined yes", "");
}

static void a_dry_run_finds_every_line_that_is_not_for_this_server(void **state) {
    run(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, " --dry-run",
          "SET 1 GA 1 1 1 -1\nSET 1 GA 99 1 1 -1\nrepeat 2\nexpect 9s 1 FB 77 1 x\nend\n"
          "SET 7 POWER OFF\n",
          OUTCOME_REFUSED, "", "3 of 4 lines would fail");
    check(state, " --dry-run", "say x\nWAIT 1 GA 99 1 1 60\n", OUTCOME_REFUSED, "",
          ":2: 'WAIT 1 GA 99 1 1 60': 421 ERROR unsupported device");
    run(state, "state", OUTCOME_DONE, "lined yes", "");
}

static void a_dry_run_looks_for_what_is_set_up_and_waited_for(void **state) {
    run(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, " --dry-run", "INIT 1 GA 99 P\nINIT 1 GA 1 P\nTERM 1 LOCK GA 97\nINIT 7 POWER\n",
          OUTCOME_REFUSED, "", "3 of 4 lines would fail");
    check(state, " --dry-run", "WAIT 0 TIME 1 2 3 4\n", OUTCOME_REFUSED, "",
          ":1: 'WAIT 0 TIME 1 2 3 4': 416 ERROR no data; no model clock is running");
    check(state, " --dry-run", "INIT 0 TIME 2 1\nWAIT 0 TIME 1 2 3 4\n", OUTCOME_DONE, "", "");
    check(state, " --dry-run", "SET 0 TIME 1 2 3 4\nTERM 0 TIME\nWAIT 0 TIME 1 2 3 4\n",
          OUTCOME_REFUSED, "", ":3: ");
    check(state, " --dry-run --scale 3", "WAIT 0 TIME 1 2 3 4\n", OUTCOME_DONE, "", "");
}

static void a_wait_in_vain_tells_that_the_bridge_is_held(void **state) {
    run(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "",
          "SET 1 GA 1 1 1 -1\nexpect 60s 1 FB 4 1 the span is driven\nSET 1 GA 1 2 1 -1\n"
          "expect 5s 1 FB 3 1 the span is open\n",
          OUTCOME_TIMED_OUT, "", "417 ERROR timeout; the bridge is held: raise or lower it");
}

static void a_failed_line_tells_the_fault_that_is_latched(void **state) {
    run(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "",
          "SET 0 GM 0 0 SIMULATE 1 fault jam on\nSET 1 GA 1 1 1 -1\n"
          "expect 60s 1 FB 4 1 the span is driven\nexpect 60s 1 FB 3 1 the span is open\n",
          OUTCOME_FAULT, "", "'WAIT 1 FB 3 1 60': 417 ERROR timeout; fault stall; asked");
    check(state, "", "on failure go on\nSET 1 GA 1 1 1 -1\nsay here\n", OUTCOME_REFUSED, "here",
          "1 lines failed");
}

/* A pause waits for the model clock. Counted in real time it would last to the next morning of the
 * model, for the layout runs faster than time does here. */
static void a_pause_is_one_of_model_time(void **state) {
    run(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "",
          "INIT 0 TIME 60 1\nSET 0 TIME 3 23 59 0\npause 30 min\nWAIT 0 TIME 4 0 29 0\n"
          "expect 1s 1 FB 5 1 lined\nsay after\n",
          OUTCOME_DONE, "after", "");
    struct daemon_session session;
    daemon_connect(*state, &session, "COMMAND");
    daemon_expect(&session, "GET 0 TIME", "100 INFO 0 TIME ");
    int day, hour, minute;
    assert_int_equal(sscanf(session.line, "100 INFO 0 TIME %d %d %d", &day, &hour, &minute), 3);
    assert_true((day * 24 + hour) * 60 + minute >= 4 * 24 * 60 + 29);
    daemon_disconnect(&session);
    check(state, "", "TERM 0 TIME\npause 10 ms\n", OUTCOME_DONE, "", "");
}

static void the_first_failed_line_ends_it_and_holds_the_span(void **state) {
    run(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "",
          TRAIN_ON_SPAN "SET 1 GA 1 1 1 -1\nexpect 60s 1 FB 5 0 the opening begins\n"
                        "expect 1s 1 FB 5 1 the span has come back\nSET 1 GA 1 0 1 -1\n",
          OUTCOME_TIMED_OUT, "", ":4: expected: the span has come back; 'WAIT 1 FB 5 1 1': 417");
    run(state, "wait held", OUTCOME_DONE, "", "");
}

static void a_failed_line_can_lower_the_span(void **state) {
    run(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "",
          "on failure lower\nSET 1 LOCK GA 1 0\nSET 1 GA 1 1 1 -1\n"
          "expect 60s 1 FB 4 1 the span moves\nSET 1 POWER ON\n",
          OUTCOME_REFUSED, "", "lower it first; asked the span to lower");
    run(state, "wait lined", OUTCOME_DONE, "", "");
}

static void it_goes_on_where_the_script_says_so(void **state) {
    run(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "", "on failure go on\nSET 1 GA 2 0 1 -1\nsay here\n", OUTCOME_REFUSED, "here",
          "1 lines failed");
    run(state, "state", OUTCOME_DONE, "lined yes", "");
}

static void a_script_with_a_mistake_sends_nothing(void **state) {
    run(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "", "SET 1 GA 1 1 1 -1\nSET 1 GA 1\n", OUTCOME_CONFIGURATION, "", ":2: 'SET");
    run(state, "state", OUTCOME_DONE, "lined yes", "");
}

/* However the tool ends, the opening that its script has begun is held. */
static void end_while_opening(void **state, int number, int status) {
    struct daemon_run *daemon = *state;
    struct tool_dialogue dialogue;
    struct daemon_session session;
    char path[64];
    char words[128];
    write_script(path, TRAIN_ON_SPAN "SET 1 LOCK GA 1 0\nSET 1 GA 1 1 1 -1\nWAIT 1 FB 6 1 86400\n");
    run(state, "wait lined", OUTCOME_DONE, "", "");
    daemon_connect(daemon, &session, "COMMAND");
    snprintf(words, sizeof words, "perform %s", path);
    tool_dialogue_begin(&dialogue, words, daemon->port);
    daemon_expect(&session, "WAIT 1 FB 5 0 86400", "100 INFO 1 FB 5 0");
    tool_dialogue_expect(&dialogue, "[4/4]");
    kill(dialogue.pid, number);
    tool_dialogue_expect(&dialogue, "asked the span to stop where it is");
    assert_int_equal(tool_dialogue_end(&dialogue), status);
    unlink(path);
    run(state, "wait held", OUTCOME_DONE, "", "");
    daemon_expect(&session, TRAIN_HAS_GONE, "200 OK");
    daemon_expect(&session, "GET 1 LOCK GA 1", "100 INFO 1 LOCK GA 1 0 0"); /* its lock is gone */
    daemon_disconnect(&session);
    run(state, "lower", OUTCOME_DONE, "", "");
}

static void an_interrupt_holds_the_span(void **state) {
    end_while_opening(state, SIGINT, OUTCOME_INTERRUPTED);
}

static void an_interrupted_pause_is_named(void **state) {
    struct daemon_run *daemon = *state;
    struct tool_dialogue dialogue;
    char path[64];
    char words[128];
    write_script(path, "INIT 0 TIME 1 1\nSET 0 TIME 1 1 0 0\npause 100 h\n");
    snprintf(words, sizeof words, "perform %s", path);
    tool_dialogue_begin(&dialogue, words, daemon->port);
    tool_dialogue_expect(&dialogue, "[3/3]");
    kill(dialogue.pid, SIGINT);
    tool_dialogue_expect(&dialogue, ":3: 'pause': interrupted");
    assert_int_equal(tool_dialogue_end(&dialogue), OUTCOME_INTERRUPTED);
    unlink(path);
    check(state, "", "TERM 0 TIME\n", OUTCOME_DONE, "", "");
}

static void a_request_to_end_holds_the_span(void **state) {
    end_while_opening(state, SIGTERM, OUTCOME_INTERRUPTED);
}

static void a_terminal_that_goes_holds_the_span(void **state) {
    end_while_opening(state, SIGHUP, OUTCOME_INTERRUPTED);
}

static void a_tool_that_is_killed_holds_the_span(void **state) {
    end_while_opening(state, SIGKILL, -1);
}

static int set_up_elsewhere(void **state) {
    struct daemon_run *daemon = calloc(1, sizeof *daemon);
    daemon_start(daemon, SOURCE_DIR "/config/mill-swing.json", pace);
    *state = daemon;
    return 0;
}

static void a_script_finds_its_bridge_on_any_bus(void **state) {
    run(state, "wait lined --bus 3", OUTCOME_DONE, "", "");
    check(state, "", "SET 3 POWER OFF\nSET 3 POWER ON\nsay done\n", OUTCOME_DONE, "done", "");
}

#define WITH_DAEMON(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void) {
    const struct CMUnitTest tests[] = {
        WITH_DAEMON(what_is_shown_at_the_end_is_as_new_as_the_last_reply),
        WITH_DAEMON(the_example_is_checked_and_performed),
        WITH_DAEMON(a_dry_run_finds_every_line_that_is_not_for_this_server),
        WITH_DAEMON(a_dry_run_looks_for_what_is_set_up_and_waited_for),
        WITH_DAEMON(a_wait_in_vain_tells_that_the_bridge_is_held),
        WITH_DAEMON(a_failed_line_tells_the_fault_that_is_latched),
        WITH_DAEMON(a_pause_is_one_of_model_time),
        WITH_DAEMON(the_first_failed_line_ends_it_and_holds_the_span),
        WITH_DAEMON(a_failed_line_can_lower_the_span),
        WITH_DAEMON(it_goes_on_where_the_script_says_so),
        WITH_DAEMON(a_script_with_a_mistake_sends_nothing),
        WITH_DAEMON(an_interrupt_holds_the_span),
        WITH_DAEMON(an_interrupted_pause_is_named),
        WITH_DAEMON(a_request_to_end_holds_the_span),
        WITH_DAEMON(a_terminal_that_goes_holds_the_span),
        WITH_DAEMON(a_tool_that_is_killed_holds_the_span),
        cmocka_unit_test_setup_teardown(a_script_finds_its_bridge_on_any_bus, set_up_elsewhere,
                                        tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
