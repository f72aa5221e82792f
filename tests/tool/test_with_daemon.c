/* The tool against the daemon itself, on a simulated bridge without trains. */
#include "support/check.h"
#include "support/daemon/daemon.h"
#include "support/tool/tool_run.h"

#include <signal.h>
#include <stdlib.h>
#include <string.h>

/* Not faster: a daemon that gets no processor for a while sees that much more layout time pass at
 * once, and rightly takes a span it did not watch for a fault. */
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

static struct tool_run run(void **state, const char *words) {
    const struct daemon_run *daemon = *state;
    struct tool_run made = {.port = daemon->port};
    tool_run_words(&made, words);
    return made;
}

/* Runs the tool; it must end so and say this. */
static void check(void **state, const char *words, enum outcome outcome, const char *out,
                  const char *err) {
    tool_run_ends(run(state, words), outcome, out, err);
}

static void a_whole_opening_goes_by(void **state) {
    check(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "raise", OUTCOME_DONE, "open for the river\n", "raising: ");
    check(state, "raise", OUTCOME_DONE, "open for the river\n", "open\n");
    check(state, "state", OUTCOME_DONE, "open yes", "");
    check(state, "lower", OUTCOME_DONE, "lined for rail\n", "locking: ");
    check(state, "wait FB 5", OUTCOME_DONE, "", "");
}

static void devices_have_the_names_of_the_configuration(void **state) {
    check(state, "wait lined", OUTCOME_DONE, "", "");
    struct tool_run made = run(state, "state");
    tool_run_says(made.out, "main west");
    tool_run_says(made.out, "main east");
    tool_run_says(made.out, "stop main west clear (FB 102)\n");
    tool_run_ends(made, OUTCOME_DONE, "span lock locked", "");
}

static void a_stop_holds_and_lower_goes_on_from_there(void **state) {
    check(state, "wait lined", OUTCOME_DONE, "", "");
    /* As a train on the span: the opening waits for it, and is not over when the stop comes. */
    check(state, "send SET 0 GM 0 0 SIMULATE 1 contact main.span by-hand open", OUTCOME_DONE, "200",
          "");
    check(state, "raise --no-wait", OUTCOME_DONE, "granted", "");
    check(state, "stop", OUTCOME_DONE, "asked the span to stop", "");
    check(state, "wait held", OUTCOME_DONE, "", "");
    check(state, "send SET 0 GM 0 0 SIMULATE 1 contact main.span by-hand free", OUTCOME_DONE, "200",
          "");
    check(state, "state", OUTCOME_DONE, "phase      held\n", "");
    check(state, "lower", OUTCOME_DONE, "lined for rail\n", "");
}

static void refusals_have_the_bridges_reason(void **state) {
    check(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "raise", OUTCOME_DONE, "", "");
    check(state, "power on", OUTCOME_REFUSED, "", "not lined for rail");
    check(state, "signal main west proceed", OUTCOME_REFUSED, "", "not lined for rail");
    check(state, "signal 2 stop", OUTCOME_REFUSED, "", "there are: main west (11) main east (12)");
    check(state, "send SET 1 GA 2 0 1 -1", OUTCOME_REFUSED, "415 ERROR forbidden\n", "");
    check(state, "state --bus 7", OUTCOME_REFUSED, "", "no bus 7");
}

static void signals_and_power_are_set_while_lined(void **state) {
    check(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "signal main west stop", OUTCOME_DONE, "signal main west: stop\n", "");
    check(state, "signal main west proceed", OUTCOME_DONE, "signal main west: ", "");
    check(state, "wait GA 11 1", OUTCOME_DONE, "", ""); /* when approach locking lets it */
    check(state, "power off", OUTCOME_DONE, "power off\n", "");
    check(state, "power on", OUTCOME_DONE, "power on\n", "");
}

static void an_emergency_stop_is_latched_until_acknowledged(void **state) {
    check(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "emergency-stop", OUTCOME_DONE, "emergency stop", "");
    check(state, "state", OUTCOME_FAULT, "fault      emergency-stop", "");
    check(state, "raise", OUTCOME_FAULT, "", "a fault is latched");
    check(state, "wait open", OUTCOME_FAULT, "", "emergency-stop");
    check(state, "wait fault", OUTCOME_DONE, "", "");
    check(state, "acknowledge", OUTCOME_DONE, "acknowledged", "");
    check(state, "wait lined", OUTCOME_DONE, "", "");
    check(state, "state", OUTCOME_DONE, "fault      none\n", "");
}

static void a_daemon_that_has_ended_is_unreachable(void **state) {
    struct daemon_run daemon;
    (void)state;
    daemon_start(&daemon, SOURCE_DIR "/tests/daemon/quiet-bridge.json", pace);
    struct tool_run made = {.port = daemon.port};
    daemon_end(&daemon, SIGKILL);
    tool_run_words(&made, "raise");
    tool_run_ends(made, OUTCOME_UNREACHABLE, "", "no server");
}

#define WITH_DAEMON(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void) {
    const struct CMUnitTest tests[] = {
        WITH_DAEMON(a_whole_opening_goes_by),
        WITH_DAEMON(devices_have_the_names_of_the_configuration),
        WITH_DAEMON(a_stop_holds_and_lower_goes_on_from_there),
        WITH_DAEMON(refusals_have_the_bridges_reason),
        WITH_DAEMON(signals_and_power_are_set_while_lined),
        WITH_DAEMON(an_emergency_stop_is_latched_until_acknowledged),
        cmocka_unit_test(a_daemon_that_has_ended_is_unreachable),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
