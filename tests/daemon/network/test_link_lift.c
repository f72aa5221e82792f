/* Two real daemons: Kettle Narrows, whose lift and span lock are accessories of a yard's daemon,
 * and that yard, in real time. The accessories are four home signals of two tracks without trains;
 * the leaf itself is simulated beside them. What the link cannot do is tested as well: see
 * config/README.md, "What a link cannot do". */
#include "support/check.h"
#include "support/daemon/lift_pair.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#define RAISE LIFT_RAISE
#define LOWER LIFT_LOWER
#define DRIVE LIFT_DRIVE
#define WITHDRAW LIFT_WITHDRAW

enum { TRIES = 20 };

static void start_yard(struct daemon_pair *pair, uint16_t port) {
    lift_pair_start_yard(pair, port);
    lift_pair_await_yard(pair);
}

static int set_up(void **state) {
    struct daemon_pair *pair = calloc(1, sizeof *pair);
    start_yard(pair, 0);
    daemon_pair_start_bridge(pair, lift_pair_config());
    *state = pair;
    return 0;
}

static int tear_down(void **state) {
    struct daemon_pair *pair = *state;
    daemon_pair_end_bridge(pair, SIGTERM);
    daemon_pair_end_yard(pair, SIGTERM);
    free(pair);
    return 0;
}

static const char raise_it[] = "SET 1 GA 1 1 1 -1";

/* ---- what the yard's accessories show */

static void expect_all_off(struct daemon_pair *pair) {
    static const char *const all[] = {RAISE, LOWER, DRIVE, WITHDRAW};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        lift_pair_expect(pair, all[i], 0);
    }
}

static void start_raising(struct daemon_pair *pair) {
    daemon_reach(&pair->command, raise_it, &pair->yard_command, "WAIT 1 GA " RAISE " 1 1 20");
    daemon_reach(&pair->command, raise_it, &pair->command, "WAIT 1 FB 4 1 20");
}

static void expect_lost(struct daemon_pair *pair) {
    daemon_expect(&pair->command, "WAIT 1 FB 6 1 300", "100 INFO 1 FB 6 1");
    struct daemon_faults faults = daemon_read_faults(&pair->info, &pair->command);
    daemon_expect_busy(faults.of[1]);
    daemon_expect(&pair->command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    daemon_expect(&pair->command, raise_it, "413 ");
}

/* ---- */

/* The yard's own news, in their order: signals at stop, bar out, motor up and off again; then motor
 * down and off, bar in, and only then a signal clears. Returns false where the machine was too busy
 * for the bridge to be in time all the way. */
static bool opens_in_order(struct daemon_pair *pair) {
    static const struct {
        const char *first, *then;
    } order[] = {
        {"100 INFO 1 GA 11 1 0", "100 INFO 1 GA " WITHDRAW " 1 1"},
        {"100 INFO 1 GA " WITHDRAW " 1 1", "100 INFO 1 GA " RAISE " 1 1"},
        {"100 INFO 1 GA " RAISE " 1 1", "100 INFO 1 GA " RAISE " 1 0"},
        {"100 INFO 1 GA " LOWER " 1 1", "100 INFO 1 GA " LOWER " 1 0"},
        {"100 INFO 1 GA " LOWER " 1 0", "100 INFO 1 GA " DRIVE " 1 1"},
        {"100 INFO 1 GA " DRIVE " 1 1", "100 INFO 1 GA 11 1 1"},
    };
    lift_pair_line(pair);
    lift_pair_expect(pair, RAISE, 0);
    lift_pair_expect(pair, LOWER, 0);
    daemon_read_faults(&pair->yard_info,
                       &pair->yard_command); /* the news so far are none of this */
    daemon_read_faults(&pair->info, &pair->command);
    start_raising(pair);
    daemon_expect(&pair->yard_command, "SET 1 GA " RAISE " 0 1 -1", "414 "); /* it is locked */
    lift_pair_expect(pair, LOWER, 0);
    daemon_reach(&pair->command, raise_it, &pair->command, "WAIT 1 FB 3 1 20");
    lift_pair_wait(pair, RAISE, 0);
    lift_pair_line(pair);
    struct daemon_faults faults = daemon_read_faults(&pair->info, &pair->command);
    if (faults.of[1][0] != '\0') {
        daemon_expect_busy(faults.of[1]);
        return false;
    }
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        daemon_read_until(&pair->yard_info, order[i].first, order[i].then);
        if (i + 1 < sizeof order / sizeof order[0] &&
            strcmp(order[i].then, order[i + 1].first) == 0) {
            continue;
        }
        daemon_read_until(&pair->yard_info, order[i].then, NULL);
    }
    return true;
}

static void s3_s4_opening_by_accessories_keeps_its_order(void **state) {
    unsigned tries = 0;
    while (!opens_in_order(*state)) {
        assert_true(++tries < TRIES);
    }
}

static void s7_orderly_end_stops_the_motor_there(void **state) {
    struct daemon_pair *pair = *state;
    lift_pair_line(pair);
    start_raising(pair);
    daemon_pair_end_bridge(pair, SIGTERM);
    expect_all_off(pair);
    lift_pair_expect(pair, "11", 0);
    lift_pair_expect(pair, "12", 0);
}

static void s7_yard_that_dies_is_a_lift_at_rest(void **state) {
    struct daemon_pair *pair = *state;
    uint16_t port = pair->yard.port;
    lift_pair_line(pair);
    start_raising(pair);
    daemon_pair_end_yard(pair, SIGKILL);
    expect_lost(pair);
    start_yard(pair, port);
    expect_all_off(pair);
    daemon_expect(&pair->command, "WAIT 1 FB 4 1 2", "417 "); /* nor does it go on by itself */
}

/* The link's session for INFO, as the yard counts; 1 and 2 are the test's own, and a link that was
 * lost has had others. */
static int informed_session(struct daemon_pair *pair) {
    int found = 0;
    for (int id = 3; id < 100; id++) {
        char line[48];
        char reply[48];
        snprintf(line, sizeof line, "GET 0 SESSION %d", id);
        snprintf(reply, sizeof reply, "100 INFO 0 SESSION %d INFO", id);
        found = strcmp(daemon_ask(&pair->yard_command, line), reply) == 0 ? id : found;
    }
    assert_true(found > 0);
    return found;
}

/* Reads the yard's news up to this line; returns whether the motor was on then. */
static bool is_raising_at(struct daemon_pair *pair, const char *line) {
    static const char raise[] = "100 INFO 1 GA " RAISE " 1 ";
    bool is_on = false;
    do {
        assert_true(daemon_read(&pair->yard_info));
        if (strncmp(pair->yard_info.line, raise, sizeof raise - 1) == 0) {
            is_on = pair->yard_info.line[sizeof raise - 1] == '1';
        }
    } while (strncmp(pair->yard_info.line, line, strlen(line)) != 0);
    return is_on;
}

/* Returns false where a machine that is too busy has stopped it before. */
static bool is_stopped_as_link_leaves(struct daemon_pair *pair) {
    char words[48];
    lift_pair_line(pair);
    start_raising(pair);
    int informed = informed_session(pair);
    snprintf(words, sizeof words, "TERM 0 SESSION %d", informed);
    daemon_expect(&pair->yard_command, words, "200 OK");
    snprintf(words, sizeof words, "102 INFO 0 SESSION %d", informed);
    if (!is_raising_at(pair, words)) {
        return false;
    }
    daemon_read_until(&pair->yard_info, "100 INFO 1 GA " RAISE " 1 0", "101 INFO 0 SESSION");
    expect_lost(pair);
    expect_all_off(pair);
    return true;
}

/* Told nothing any more, the link still has its other session to stop the motor by, and does so
 * before it comes anew. */
static void s7_link_that_is_told_no_more_stops_the_motor_as_it_leaves(void **state) {
    unsigned tries = 0;
    while (!is_stopped_as_link_leaves(*state)) {
        assert_true(++tries < TRIES);
    }
}

/* Cut off, the motor there runs on: a watchdog of the yard's own has to stop it. The first that the
 * yard hears afterwards, once it goes on, is to stop. */
static void s7_motor_of_a_yard_that_hung_is_stopped_first_of_all(void **state) {
    struct daemon_pair *pair = *state;
    lift_pair_line(pair);
    start_raising(pair);
    assert_int_equal(kill(pair->yard.pid, SIGSTOP), 0);
    expect_lost(pair);
    assert_int_equal(kill(pair->yard.pid, SIGCONT), 0);
    lift_pair_wait(pair, RAISE, 0);
    daemon_expect(&pair->command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    lift_pair_expect(pair, LOWER, 0);
    lift_pair_expect(pair, "11", 0);
    lift_pair_expect(pair, "12", 0);
}

/* Kills it while the motor is on; returns false where a machine that is too busy has stopped it. */
static bool is_killed_raising(struct daemon_pair *pair) {
    int status = 0;
    lift_pair_line(pair);
    start_raising(pair);
    assert_int_equal(kill(pair->bridge.pid, SIGSTOP), 0);
    assert_int_equal(waitpid(pair->bridge.pid, &status, WUNTRACED), pair->bridge.pid);
    if (strcmp(daemon_ask(&pair->yard_command, "GET 1 GA " RAISE " 1"),
               "100 INFO 1 GA " RAISE " 1 1") != 0) {
        assert_int_equal(kill(pair->bridge.pid, SIGCONT), 0);
        return false;
    }
    daemon_pair_end_bridge(pair, SIGKILL);
    return true;
}

/* What the documentation says a link cannot do; a daemon that comes back stops it. */
static void killed_daemon_leaves_the_motor_on_until_it_is_back(void **state) {
    struct daemon_pair *pair = *state;
    unsigned tries = 0;
    while (!is_killed_raising(pair)) {
        assert_true(++tries < TRIES);
    }
    lift_pair_expect(pair, RAISE, 1);
    lift_pair_expect(pair, LOWER, 0);
    lift_pair_expect(pair, "11", 0);
    daemon_pair_start_bridge(pair, lift_pair_config());
    lift_pair_wait(pair, RAISE, 0);
    lift_pair_expect(pair, LOWER, 0);
}

int main(void) {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        STAGED(s3_s4_opening_by_accessories_keeps_its_order),
        STAGED(s7_orderly_end_stops_the_motor_there),
        STAGED(s7_yard_that_dies_is_a_lift_at_rest),
        STAGED(s7_link_that_is_told_no_more_stops_the_motor_as_it_leaves),
        STAGED(s7_motor_of_a_yard_that_hung_is_stopped_first_of_all),
        STAGED(killed_daemon_leaves_the_motor_on_until_it_is_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
