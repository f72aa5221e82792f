/* The invariants that a client can see, over a real TCP connection to a real daemon on a simulated
 * bridge. */
#include "support/check.h"
#include "support/daemon/daemon.h"

#include <signal.h>
#include <stdlib.h>

static const char bridge[] = SOURCE_DIR "/tests/daemon/quiet-bridge.json";
static const char pace[] = "50";

struct stage {
    struct daemon_run run;
    struct daemon_session command;
    struct daemon_session info;
};

static int set_up(void **state) {
    struct stage *stage = calloc(1, sizeof *stage);
    daemon_start(&stage->run, bridge, pace);
    daemon_connect(&stage->run, &stage->command, "COMMAND");
    daemon_connect(&stage->run, &stage->info, "INFO");
    daemon_expect(&stage->command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_read_until(&stage->info, "100 INFO 1 FB 5 1", NULL);
    *state = stage;
    return 0;
}

static int tear_down(void **state) {
    struct stage *stage = *state;
    daemon_disconnect(&stage->command);
    daemon_disconnect(&stage->info);
    daemon_end(&stage->run, SIGTERM);
    free(stage);
    return 0;
}

static void raise_fully(struct stage *stage) {
    daemon_expect(&stage->command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 3 1 300", "100 INFO 1 FB 3 1");
}

static void s1_signals_fall_to_stop_when_the_lock_is_no_longer_proved(void **state) {
    struct stage *stage = *state;
    daemon_expect(&stage->command, "WAIT 1 GA 11 1 1 300", "100 INFO 1 GA 11 1 1");
    daemon_expect(&stage->command, "SET 0 GM 0 0 SIMULATE 1 contact locked open", "200 OK");
    daemon_read_until(&stage->info, "100 INFO 1 FB 6 1", NULL);
    daemon_expect(&stage->command, "GET 1 GA 11 1", "100 INFO 1 GA 11 1 0");
    daemon_expect(&stage->command, "GET 1 GA 12 1", "100 INFO 1 GA 12 1 0");
    daemon_expect(&stage->command, "GET 1 POWER", "100 INFO 1 POWER OFF");
    daemon_expect(&stage->command, "SET 1 GA 11 1 1 -1", "413 ");
}

static void s2_power_on_is_refused_while_the_span_is_not_lined(void **state) {
    struct stage *stage = *state;
    raise_fully(stage);
    daemon_expect(&stage->command, "GET 1 POWER", "100 INFO 1 POWER OFF");
    daemon_expect(&stage->command, "SET 1 POWER ON", "413 ");
    daemon_read_until(&stage->info, "100 INFO 0 GM 0 0 REFUSED 1 POWER", NULL);
    daemon_expect(&stage->command, "SET 1 POWER OFF", "200 OK");
    daemon_expect(&stage->command, "SET 1 GA 1 0 1 -1", "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_expect(&stage->command, "SET 1 POWER ON", "200 OK");
    daemon_expect(&stage->command, "GET 1 POWER", "100 INFO 1 POWER ON");
}

static void s3_lift_stands_while_a_section_is_occupied(void **state) {
    struct stage *stage = *state;
    daemon_expect(&stage->command, "SET 0 GM 0 0 SIMULATE 1 contact main.span open", "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 103 1 300", "100 INFO 1 FB 103 1");
    daemon_expect(&stage->command, "SET 1 GA 1 1 1 -1", "200 OK");
    /* Far longer, in layout time, than an opening takes. */
    daemon_expect(&stage->command, "WAIT 1 FB 4 1 90", "417 ");
    daemon_expect(&stage->command, "GET 1 FB 1", "100 INFO 1 FB 1 1");
    daemon_expect(&stage->command, "SET 0 GM 0 0 SIMULATE 1 contact main.span free", "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 3 1 300", "100 INFO 1 FB 3 1");
}

static void s8_train_on_the_span_stops_a_rising_lift(void **state) {
    struct stage *stage = *state;
    daemon_expect(&stage->command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 4 1 300", "100 INFO 1 FB 4 1");
    daemon_expect(&stage->command, "SET 0 GM 0 0 SIMULATE 1 contact main.span open", "200 OK");
    /* The reply comes after the cycle that the change caused: no wait, no second cycle. */
    daemon_expect(&stage->command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    daemon_expect(&stage->command, "GET 1 FB 6", "100 INFO 1 FB 6 1");
    daemon_read_until(&stage->info, "100 INFO 0 GM 0 0 FAULT 1 overrun", "100 INFO 1 FB 3 1");
    daemon_expect(&stage->command, "SET 1 GA 1 4 1 -1", "413 ");
    daemon_expect(&stage->command, "SET 0 GM 0 0 SIMULATE 1 contact main.span free", "200 OK");
    daemon_expect(&stage->command, "SET 1 GA 1 4 1 -1", "200 OK");
    daemon_expect(&stage->command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    daemon_expect(&stage->command, "SET 1 GA 1 0 1 -1", "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
}

static void s9_stop_acts_at_once_whoever_holds_the_lock(void **state) {
    struct stage *stage = *state;
    struct daemon_session other;
    daemon_connect(&stage->run, &other, "COMMAND");
    daemon_expect(&other, "SET 1 LOCK GA 1 0", "200 OK");
    daemon_expect(&stage->command, "SET 1 GA 1 1 1 -1", "414 ERROR device locked");
    daemon_expect(&other, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 4 1 300", "100 INFO 1 FB 4 1");
    daemon_expect(&stage->command, "SET 1 GA 1 2 1 -1", "200 OK");
    daemon_expect(&stage->command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    daemon_expect(&stage->command, "GET 1 GA 1 2", "100 INFO 1 GA 1 2 1");
    daemon_expect(&other, "SET 1 GA 1 1 1 -1", "200 OK"); /* resumable */
    daemon_expect(&stage->command, "WAIT 1 FB 4 1 300", "100 INFO 1 FB 4 1");
    daemon_expect(&stage->command, "SET 1 GA 1 3 1 -1", "200 OK"); /* emergency stop */
    daemon_expect(&stage->command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    daemon_expect(&stage->command, "GET 1 FB 6", "100 INFO 1 FB 6 1");
    daemon_disconnect(&other);
}

static void s9_hard_wired_stop_circuit_acts_and_its_release_alone_moves_nothing(void **state) {
    struct stage *stage = *state;
    daemon_expect(&stage->command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 4 1 300", "100 INFO 1 FB 4 1");
    daemon_expect(&stage->command, "SET 0 GM 0 0 SIMULATE 1 fault stop-circuit-broken on",
                  "200 OK");
    daemon_expect(&stage->command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    daemon_expect(&stage->command, "SET 0 GM 0 0 SIMULATE 1 fault stop-circuit-broken off",
                  "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 4 1 60", "417 "); /* ISO 13850, as widely cited */
    daemon_expect(&stage->command, "SET 1 GA 1 4 1 -1", "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 4 1 60", "417 ");
    daemon_expect(&stage->command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 3 1 300", "100 INFO 1 FB 3 1");
}

/* 49 CFR 236.760, from memory: approach locking. The train takes a minute and more to its signal.
 */
static void train_in_the_approach_holds_the_lift_until_approach_locking_releases(void **state) {
    struct stage *stage = *state;
    daemon_expect(&stage->command, "WAIT 1 GA 11 1 1 300", "100 INFO 1 GA 11 1 1");
    daemon_expect(&stage->command, "SET 0 GM 0 0 SIMULATE 1 contact main.west.approach open",
                  "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 101 1 300", "100 INFO 1 FB 101 1");
    daemon_expect(&stage->command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_expect(&stage->command, "GET 1 GA 11 1", "100 INFO 1 GA 11 1 0"); /* at once */
    daemon_expect(&stage->command, "GET 1 POWER", "100 INFO 1 POWER ON"); /* it may run through */
    daemon_read_until(&stage->info, "100 INFO 1 GA 11 1 0", NULL);
    daemon_read_until(&stage->info, "100 INFO 1 POWER OFF", "100 INFO 1 FB 4 1");
    daemon_read_until(&stage->info, "100 INFO 1 FB 4 1", NULL);
}

int main(void) {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        STAGED(s1_signals_fall_to_stop_when_the_lock_is_no_longer_proved),
        STAGED(s2_power_on_is_refused_while_the_span_is_not_lined),
        STAGED(s3_lift_stands_while_a_section_is_occupied),
        STAGED(s8_train_on_the_span_stops_a_rising_lift),
        STAGED(s9_stop_acts_at_once_whoever_holds_the_lock),
        STAGED(s9_hard_wired_stop_circuit_acts_and_its_release_alone_moves_nothing),
        STAGED(train_in_the_approach_holds_the_lift_until_approach_locking_releases),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
