/* Session scripts, performed on the daemon itself. */
#include "support/check.h"
#include "support/daemon.h"
#include "support/tool_run.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
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

static void the_example_is_checked_and_performed(void **state) {
    static const char file[] = SOURCE_DIR "/config/evening-session.script";
    char words[256];
    snprintf(words, sizeof words, "perform %s --dry-run", file);
    run(state, words, OUTCOME_DONE, "lines checked; nothing was done", "");
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

static void the_first_failed_line_ends_it_and_holds_the_span(void **state) {
    run(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "",
          "SET 1 GA 1 1 1 -1\nexpect 60s 1 FB 4 1 the span moves\n"
          "expect 1s 1 FB 5 1 the span has come back\nSET 1 GA 1 0 1 -1\n",
          OUTCOME_TIMED_OUT, "", ":3: expected: the span has come back; 'WAIT 1 FB 5 1 1': 417");
    run(state, "wait held --limit 60s", OUTCOME_DONE, "", "");
}

static void a_failed_line_can_lower_the_span(void **state) {
    run(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "",
          "on failure lower\nSET 1 LOCK GA 1 0\nSET 1 GA 1 1 1 -1\n"
          "expect 60s 1 FB 4 1 the span moves\nSET 1 POWER ON\n",
          OUTCOME_REFUSED, "", "not lined for rail; asked the span to lower");
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

/* The interrupt comes when the script is known to wait: the span is seen to move, the script then
 * waits for what does not come by itself. */
static void an_interrupt_holds_the_span(void **state) {
    struct daemon_run *daemon = *state;
    run(state, "wait lined", OUTCOME_DONE, "", "");
    pid_t parent = getpid();
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        struct daemon_session session;
        daemon_connect(daemon, &session, "COMMAND");
        daemon_ask(&session, "WAIT 1 FB 4 1 3600");
        kill(parent, SIGINT);
        _exit(0);
    }
    check(state, "", "SET 1 GA 1 1 1 -1\nWAIT 1 FB 6 1 86400\n", OUTCOME_INTERRUPTED, "",
          ":2: 'WAIT 1 FB 6 1 86400': interrupted; asked the span to stop");
    assert_int_equal(waitpid(child, NULL, 0), child);
    run(state, "wait held --limit 60s", OUTCOME_DONE, "", "");
}

#define WITH_DAEMON(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void) {
    const struct CMUnitTest tests[] = {
        WITH_DAEMON(the_example_is_checked_and_performed),
        WITH_DAEMON(a_dry_run_finds_every_line_that_is_not_for_this_server),
        WITH_DAEMON(the_first_failed_line_ends_it_and_holds_the_span),
        WITH_DAEMON(a_failed_line_can_lower_the_span),
        WITH_DAEMON(it_goes_on_where_the_script_says_so),
        WITH_DAEMON(a_script_with_a_mistake_sends_nothing),
        WITH_DAEMON(an_interrupt_holds_the_span),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
