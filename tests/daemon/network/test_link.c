/* Two real daemons: Kettle Narrows, and a yard on whose signals, power and detectors it depends, in
 * real time. The yard is a drawbridge of its own, lifted by hand and never lifted: its devices
 * stand in for a layout's. */
#include "support/check.h"
#include "support/daemon/daemon_config.h"
#include "support/daemon/daemon_pair.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

static const char yard_config[] = SOURCE_DIR "/tests/daemon/yard.json";

static int set_up(void **state) {
    struct daemon_pair *stage = calloc(1, sizeof *stage);
    daemon_pair_start_yard(stage, yard_config, 0);
    daemon_pair_start_bridge(stage, daemon_config_read("linked-bridge.json"));
    *state = stage;
    return 0;
}

static int tear_down(void **state) {
    struct daemon_pair *stage = *state;
    daemon_pair_end_bridge(stage, SIGTERM);
    daemon_pair_end_yard(stage, SIGTERM);
    free(stage);
    return 0;
}

static const char raise_it[] = "SET 1 GA 1 1 1 -1";
static const char lower_it[] = "SET 1 GA 1 0 1 -1";

/* Lined, with the signals in the yard at proceed. */
static void line(struct daemon_pair *stage) {
    daemon_reach(&stage->command, lower_it, &stage->command, "WAIT 1 FB 5 1 20");
    daemon_reach(&stage->command, lower_it, &stage->yard_command, "WAIT 1 GA 11 1 1 20");
    daemon_reach(&stage->command, lower_it, &stage->yard_command, "WAIT 1 GA 12 1 1 20");
    daemon_expect(&stage->yard_command, "GET 1 POWER", "100 INFO 1 POWER ON");
}

static void assert_yard_is_safe(struct daemon_pair *stage) {
    daemon_expect(&stage->yard_command, "GET 1 GA 11 1", "100 INFO 1 GA 11 1 0");
    daemon_expect(&stage->yard_command, "GET 1 GA 12 1", "100 INFO 1 GA 12 1 0");
    daemon_expect(&stage->yard_command, "GET 1 POWER", "100 INFO 1 POWER OFF");
}

static void assert_lost(struct daemon_pair *stage) {
    daemon_expect(&stage->command, "WAIT 1 FB 6 1 300", "100 INFO 1 FB 6 1");
    struct daemon_faults faults = daemon_read_faults(&stage->info, &stage->command);
    if (faults.of[1][0] != '\0') {
        daemon_expect_busy(faults.of[1]);
    }
    daemon_expect(&stage->command, "GET 1 GA 11 1", "100 INFO 1 GA 11 1 0");
    daemon_expect(&stage->command, "GET 1 POWER", "100 INFO 1 POWER OFF");
    daemon_expect(&stage->command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    daemon_expect(&stage->command, "SET 1 GA 1 1 1 -1", "413 ");
    daemon_expect(&stage->command, "SET 1 GA 11 1 1 -1", "413 ");
}

static void start_raising(struct daemon_pair *stage) {
    daemon_reach(&stage->command, raise_it, &stage->command, "WAIT 1 FB 4 1 20");
}

/* While the lift is driven, `cause` stops it with this fault; `undo` takes the cause away. A
 * machine that is too busy may have made the bridge late before: then once more. */
static void stops_the_lift(struct daemon_pair *stage, const char *fault,
                           void (*cause)(struct daemon_pair *stage),
                           void (*undo)(struct daemon_pair *stage)) {
    for (unsigned tries = 0; tries < 20; tries++) {
        line(stage);
        start_raising(stage);
        daemon_read_faults(&stage->info, &stage->command);
        cause(stage);
        daemon_expect(&stage->command, "WAIT 1 FB 6 1 300", "100 INFO 1 FB 6 1");
        daemon_expect(&stage->command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
        struct daemon_faults faults = daemon_read_faults(&stage->info, &stage->command);
        if (strcmp(faults.of[1], fault) == 0) {
            return;
        }
        if (faults.of[1][0] != '\0') {
            daemon_expect_busy(faults.of[1]);
        }
        undo(stage);
        while (strncmp(daemon_ask(&stage->command, "SET 1 GA 1 4 1 -1"), "413 ", 4) == 0) {
            daemon_expect(&stage->command, "WAIT 1 FB 6 0 1", "417 ");
        }
    }
    fail_msg("never the fault %s", fault);
}

static void l1_opening_with_signals_and_power_of_another_daemon(void **state) {
    struct daemon_pair *stage = *state;
    line(stage);
    daemon_expect(&stage->yard_command, "SET 1 GA 11 0 1 -1", "414 "); /* it is locked */
    start_raising(stage);
    assert_yard_is_safe(stage);
    daemon_reach(&stage->command, raise_it, &stage->command, "WAIT 1 FB 3 1 20");
    assert_yard_is_safe(stage);
    daemon_expect(&stage->yard_command, "SET 1 GA 11 1 1 -1", "414 ");
    line(stage);
}

/* A detector of the yard's siding: one of its main track would put the yard's own signals to stop,
 * and a signal that falls by itself is a lost device. */
static void detectors_of_another_daemon_are_seen(void **state) {
    struct daemon_pair *stage = *state;
    line(stage);
    daemon_expect(&stage->command, "GET 1 FB 101", "100 INFO 1 FB 101 0");
    daemon_expect(&stage->yard_command, "SET 0 GM 0 0 SIMULATE 1 contact siding.lead.approach open",
                  "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 101 1 300", "100 INFO 1 FB 101 1");
    daemon_expect(&stage->yard_command, "SET 0 GM 0 0 SIMULATE 1 contact siding.lead.approach free",
                  "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 101 0 300", "100 INFO 1 FB 101 0");
    daemon_expect(&stage->command, "GET 1 FB 5", "100 INFO 1 FB 5 1");
}

static void put_train_on(struct daemon_pair *stage) {
    daemon_expect(&stage->yard_command, "SET 0 GM 0 0 SIMULATE 1 contact main.west.stop open",
                  "200 OK");
}

static void take_train_off(struct daemon_pair *stage) {
    daemon_expect(&stage->yard_command, "SET 0 GM 0 0 SIMULATE 1 contact main.west.stop free",
                  "200 OK");
}

static void s8_train_on_another_daemons_detector_stops_the_lift(void **state) {
    stops_the_lift(*state, "overrun", put_train_on, take_train_off);
}

/* Power is not under a lock: another client of the yard can take it. */
static void power_taken_by_another_client_is_a_lost_device(void **state) {
    struct daemon_pair *stage = *state;
    line(stage);
    daemon_expect(&stage->yard_command, "SET 1 POWER OFF", "200 OK");
    assert_lost(stage);
    daemon_expect(&stage->yard_command, "WAIT 1 GA 11 1 0 300", "100 INFO 1 GA 11 1 0");
    daemon_expect(&stage->yard_command, "GET 1 POWER", "100 INFO 1 POWER OFF");
}

static void give_power(struct daemon_pair *stage) {
    daemon_expect(&stage->yard_command, "SET 1 POWER ON", "200 OK");
}

static void take_power(struct daemon_pair *stage) {
    daemon_expect(&stage->yard_command, "SET 1 POWER OFF", "200 OK");
}

static void power_given_by_another_client_stops_the_lift(void **state) {
    struct daemon_pair *stage = *state;
    stops_the_lift(stage, "device-lost", give_power, take_power);
    assert_lost(stage);
    daemon_expect(&stage->yard_command, "WAIT 1 GA 11 0 1 300", "100 INFO 1 GA 11 0 1");
}

static void s7_daemon_that_dies_is_a_lost_device_until_it_is_back(void **state) {
    struct daemon_pair *stage = *state;
    uint16_t port = stage->yard.port;
    line(stage);
    daemon_pair_end_yard(stage, SIGKILL);
    assert_lost(stage);
    daemon_expect(&stage->command, "SET 1 GA 1 4 1 -1", "413 "); /* the cause stands */

    daemon_pair_start_yard(stage, yard_config, port);
    daemon_expect(&stage->yard_command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    while (strncmp(daemon_ask(&stage->command, "SET 1 GA 1 4 1 -1"), "413 ", 4) == 0) {
        /* Not in order yet: each try waits for nothing but a change, or a second. */
        daemon_expect(&stage->command, "WAIT 1 FB 6 0 1", "417 ");
    }
    line(stage);
}

static void hang_yard(struct daemon_pair *stage) {
    assert_int_equal(kill(stage->yard.pid, SIGSTOP), 0);
}

static void wake_yard(struct daemon_pair *stage) {
    assert_int_equal(kill(stage->yard.pid, SIGCONT), 0);
}

static void s7_daemon_that_hangs_stops_the_lift(void **state) {
    struct daemon_pair *stage = *state;
    stops_the_lift(stage, "device-lost", hang_yard, wake_yard);
    assert_lost(stage);
    wake_yard(stage);
}

static void s7_orderly_end_leaves_the_yard_safe(void **state) {
    struct daemon_pair *stage = *state;
    line(stage);
    daemon_pair_end_bridge(stage, SIGTERM);
    assert_yard_is_safe(stage);
}

static void where_no_server_listens_the_log_says_so(void **state) {
    struct daemon_pair *stage = *state;
    char words[80];
    snprintf(words, sizeof words, "to 127.0.0.1 port %u: no server is listening there; again in",
             stage->yard.port);
    daemon_pair_end_yard(stage, SIGTERM);
    while (strstr(stage->bridge.tail, words) == NULL) {
        assert_true(daemon_read_log(&stage->bridge));
    }
}

/* What the documentation says a link cannot do. */
static void killed_daemon_leaves_the_yard_as_it_was_but_unlocked(void **state) {
    struct daemon_pair *stage = *state;
    line(stage);
    daemon_pair_end_bridge(stage, SIGKILL);
    daemon_expect(&stage->yard_command, "GET 1 GA 11 1", "100 INFO 1 GA 11 1 1");
    while (strncmp(daemon_ask(&stage->yard_command, "SET 1 GA 11 0 1 -1"), "414 ", 4) == 0) {
        daemon_expect(&stage->yard_command, "WAIT 1 GA 11 1 0 1", "417 ");
    }
    daemon_expect(&stage->yard_command, "WAIT 1 GA 11 1 0 300", "100 INFO 1 GA 11 1 0");
}

int main(void) {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        STAGED(l1_opening_with_signals_and_power_of_another_daemon),
        STAGED(detectors_of_another_daemon_are_seen),
        STAGED(s8_train_on_another_daemons_detector_stops_the_lift),
        STAGED(power_taken_by_another_client_is_a_lost_device),
        STAGED(power_given_by_another_client_stops_the_lift),
        STAGED(s7_daemon_that_dies_is_a_lost_device_until_it_is_back),
        STAGED(s7_daemon_that_hangs_stops_the_lift),
        STAGED(s7_orderly_end_leaves_the_yard_safe),
        STAGED(where_no_server_listens_the_log_says_so),
        STAGED(killed_daemon_leaves_the_yard_as_it_was_but_unlocked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
