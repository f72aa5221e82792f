/* Each way to die, at each phase of an opening: what do the outputs do? The bridge's lift, lock and
 * signals are a yard's accessories, so that another process tells (tests/daemon/README.md has what
 * this prints). Asserted are states and their order; the times are only told. */
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/daemon/lift_pair.h"

#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <sysexits.h>
#include <time.h>
#include <unistd.h>

static const char *const outputs[] = {LIFT_SIGNAL_WEST, LIFT_SIGNAL_EAST, LIFT_RAISE,
                                      LIFT_LOWER,       LIFT_DRIVE,       LIFT_WITHDRAW};
enum { OUTPUTS = sizeof outputs / sizeof outputs[0] };

enum phase { LINED, UNLOCKING, RAISING, OPEN, LOWERING, LOCKING };
static const char *const phase_names[] = {"lined", "unlocking", "raising",
                                          "open",  "lowering",  "locking"};

static double now_ms(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec * 1e3 + (double)now.tv_nsec / 1e6;
}

/* With limits that a machine which is busy with other things keeps, too. */
static cJSON *patient_lift(void) {
    cJSON *tree = lift_pair_config();
    cJSON *bridge = daemon_config_bridge(tree);
    cJSON *link = cJSON_GetArrayItem(cJSON_GetObjectItem(bridge, "links"), 0);
    config_text_patch(tree, "/bridges/0/lock/limit", "\"60 s\"");
    config_text_patch(tree, "/bridges/0/timing/proof limit", "\"60 s\"");
    cJSON_AddStringToObject(link, "reply limit", "10 s");
    cJSON_AddStringToObject(link, "obey limit", "30 s");
    return tree;
}

/* ---- what the yard shows */

static unsigned on_now(struct daemon_pair *pair) {
    unsigned on = 0;
    for (unsigned i = 0; i < OUTPUTS; i++) {
        char line[64];
        snprintf(line, sizeof line, "GET 1 GA %s 1", outputs[i]);
        const char *reply = daemon_ask(&pair->yard_command, line);
        on |= (unsigned)(reply[strlen(reply) - 1] == '1') << i;
    }
    return on;
}

static void wait_for_off(struct daemon_pair *pair) {
    for (unsigned i = 0; i < OUTPUTS; i++) {
        lift_pair_wait(pair, outputs[i], 0);
    }
}

static void tell(const char *death, enum phase phase, const char *what, double since_ms) {
    print_message("%-26s %-10s %s %.0f ms\n", death, phase_names[phase], what, now_ms() - since_ms);
}

/* ---- deaths; each ends the bridge's daemon, and asserts what is left */

struct death {
    const char *name;
    int number;
    bool has_terminal;
    void (*prepare)(struct daemon_pair *pair);
    void (*die)(struct daemon_pair *pair, const struct death *death, enum phase phase);
};

static void expect_in_order(struct daemon_pair *pair, int status) {
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), EX_OK);
    assert_int_equal(on_now(pair), 0); /* before it ended, for it has ended */
}

/* A signal that asks for the end. */
static void end(struct daemon_pair *pair, const struct death *death, enum phase phase) {
    double begun_ms = now_ms();
    assert_int_equal(kill(pair->bridge.pid, death->number), 0);
    wait_for_off(pair);
    tell(death->name, phase, "all off after", begun_ms);
    expect_in_order(pair, daemon_await_end(&pair->bridge));
    assert_non_null(strstr(pair->bridge.tail, "outputs safe, exiting"));
}

static void close_terminal(struct daemon_pair *pair, const struct death *death, enum phase phase) {
    int status = 0;
    double begun_ms = now_ms();
    close(pair->bridge.log);
    wait_for_off(pair);
    tell(death->name, phase, "all off after", begun_ms);
    assert_int_equal(waitpid(pair->bridge.pid, &status, 0), pair->bridge.pid);
    expect_in_order(pair, status);
}

/* Nobody reads the log, and there is no more room in it. */
static void stall_log(struct daemon_pair *pair) {
    char path[64];
    static const char dots[4096] = {'.'};
    snprintf(path, sizeof path, "/proc/%d/fd/2", (int)pair->bridge.pid);
    int log = open(path, O_WRONLY | O_NONBLOCK);
    assert_true(log >= 0);
    while (write(log, dots, sizeof dots) > 0) {
    }
    while (write(log, dots, 1) > 0) {
    }
    close(log);
}

static void end_unread(struct daemon_pair *pair, const struct death *death, enum phase phase) {
    int status = 0;
    double begun_ms = now_ms();
    assert_int_equal(kill(pair->bridge.pid, death->number), 0);
    wait_for_off(pair);
    tell(death->name, phase, "all off after", begun_ms);
    assert_int_equal(waitpid(pair->bridge.pid, &status, 0), pair->bridge.pid);
    expect_in_order(pair, status);
}

static void end_unread_and_close(struct daemon_pair *pair, const struct death *death,
                                 enum phase phase) {
    end_unread(pair, death, phase);
    close(pair->bridge.log);
}

/* As of a pipe into a program that Ctrl-C has ended. */
static void leave_log(struct daemon_pair *pair) {
    close(pair->bridge.log);
}

static void crash(struct daemon_pair *pair, const struct death *death, enum phase phase) {
    double begun_ms = now_ms();
    assert_int_equal(kill(pair->bridge.pid, death->number), 0);
    wait_for_off(pair);
    tell(death->name, phase, "all off after", begun_ms);
    int status = daemon_await_end(&pair->bridge);
    assert_true(WIFSIGNALED(status));
    assert_int_equal(WTERMSIG(status), death->number);
    assert_non_null(strstr(pair->bridge.tail, "CRASHED"));
}

static unsigned suspend(struct daemon_pair *pair) {
    int status = 0;
    assert_int_equal(kill(pair->bridge.pid, SIGSTOP), 0);
    assert_int_equal(waitpid(pair->bridge.pid, &status, WUNTRACED), pair->bridge.pid);
    assert_true(WIFSTOPPED(status));
    return on_now(pair);
}

static void tell_left(const struct death *death, enum phase phase, unsigned on) {
    static const char *const words[OUTPUTS] = {"signal", "signal",  "raise",
                                               "lower",  "lock in", "lock out"};
    print_message("%-26s %-10s stays:", death->name, phase_names[phase]);
    for (unsigned i = 0; i < OUTPUTS; i++) {
        print_message("%s%s", (on >> i & 1) != 0 ? " " : "", (on >> i & 1) != 0 ? words[i] : "");
    }
    print_message("%s\n", on == 0 ? " all off" : "");
}

/* The kernel lets go of what is wired here; what is on another server stays as it was, until a new
 * daemon comes. */
static void kill_it(struct daemon_pair *pair, const struct death *death, enum phase phase) {
    unsigned on = suspend(pair);
    assert_int_equal(kill(pair->bridge.pid, SIGKILL), 0);
    int status = daemon_await_end(&pair->bridge);
    assert_true(WIFSIGNALED(status));
    assert_int_equal(on_now(pair), on);
    tell_left(death, phase, on);
    daemon_disconnect(&pair->command);
    daemon_disconnect(&pair->info);
    double begun_ms = now_ms();
    daemon_pair_start_bridge(pair, patient_lift());
    if (on != 3) {
        wait_for_off(pair);
        tell(death->name, phase, "started anew, all off after", begun_ms);
    }
    assert_true(WIFEXITED(daemon_end(&pair->bridge, SIGTERM)));
}

static void hang(struct daemon_pair *pair, const struct death *death, enum phase phase) {
    unsigned on = suspend(pair);
    assert_int_equal(on_now(pair), on);
    tell_left(death, phase, on);
    assert_int_equal(kill(pair->bridge.pid, SIGTERM), 0); /* waits until it goes on */
    assert_int_equal(on_now(pair), on);
    double begun_ms = now_ms();
    assert_int_equal(kill(pair->bridge.pid, SIGCONT), 0);
    wait_for_off(pair);
    tell(death->name, phase, "SIGTERM, woken, all off after", begun_ms);
    expect_in_order(pair, daemon_await_end(&pair->bridge));
}

static const struct death deaths[] = {
    {.name = "SIGTERM", .number = SIGTERM, .die = end},
    {.name = "SIGINT", .number = SIGINT, .die = end},
    {.name = "SIGHUP", .number = SIGHUP, .die = end},
    {.name = "SIGQUIT", .number = SIGQUIT, .die = end},
    {.name = "terminal closed", .has_terminal = true, .die = close_terminal},
    {.name = "log stalled, SIGTERM",
     .number = SIGTERM,
     .prepare = stall_log,
     .die = end_unread_and_close},
    {.name = "log's reader gone, SIGTERM",
     .number = SIGTERM,
     .prepare = leave_log,
     .die = end_unread},
    {.name = "SIGSEGV", .number = SIGSEGV, .die = crash},
    {.name = "SIGABRT", .number = SIGABRT, .die = crash},
    {.name = "SIGKILL", .die = kill_it},
    {.name = "SIGSTOP", .die = hang},
};
enum { DEATHS = sizeof deaths / sizeof deaths[0] };

/* ---- to a phase; all go as far as they can wait, and each alone from there */

static const char raise_it[] = "SET 1 GA 1 1 1 -1";
static const char lower_it[] = "SET 1 GA 1 0 1 -1";

static void reach_open(struct daemon_pair *pair) {
    daemon_reach(&pair->command, raise_it, &pair->command, "WAIT 1 FB 3 1 20");
}

static void go_near(struct daemon_pair pairs[], enum phase phase) {
    for (unsigned i = 0; i < DEATHS; i++) {
        lift_pair_line(&pairs[i]);
    }
    for (unsigned i = 0; i < DEATHS && phase >= OPEN; i++) {
        daemon_ask(&pairs[i].command, raise_it);
    }
    for (unsigned i = 0; i < DEATHS && phase >= OPEN; i++) {
        reach_open(&pairs[i]);
    }
}

static bool comes_on(struct daemon_pair *pair, const char *request, const char *address) {
    char wait[64];
    snprintf(wait, sizeof wait, "WAIT 1 GA %s 1 1 20", address);
    daemon_ask(&pair->command, request);
    return strncmp(daemon_ask(&pair->yard_command, wait), "100 INFO", 8) == 0;
}

/* What is on for a moment only is missed on a machine that is too busy: then once more, from where
 * it began. */
static void go_on(struct daemon_pair *pair, enum phase phase) {
    static const char *const shows[] = {[UNLOCKING] = LIFT_WITHDRAW,
                                        [RAISING] = LIFT_RAISE,
                                        [LOWERING] = LIFT_LOWER,
                                        [LOCKING] = LIFT_DRIVE};
    if (phase == UNLOCKING || phase == RAISING) {
        while (!comes_on(pair, raise_it, shows[phase])) {
            lift_pair_line(pair);
        }
    } else if (phase == LOWERING || phase == LOCKING) {
        while (!comes_on(pair, lower_it, shows[phase])) {
            reach_open(pair);
        }
    }
}

static void die_in(enum phase phase) {
    struct daemon_pair *pairs = calloc(DEATHS, sizeof *pairs);
    for (unsigned i = 0; i < DEATHS; i++) {
        lift_pair_start_yard(&pairs[i], 0);
    }
    for (unsigned i = 0; i < DEATHS; i++) {
        lift_pair_await_yard(&pairs[i]);
        daemon_give_terminal(deaths[i].has_terminal);
        daemon_pair_start_bridge(&pairs[i], patient_lift());
        daemon_give_terminal(false);
        if (deaths[i].prepare != NULL) {
            deaths[i].prepare(&pairs[i]);
        }
    }
    go_near(pairs, phase);
    for (unsigned i = 0; i < DEATHS; i++) {
        go_on(&pairs[i], phase);
        deaths[i].die(&pairs[i], &deaths[i], phase);
        daemon_disconnect(&pairs[i].command);
        daemon_disconnect(&pairs[i].info);
        daemon_pair_end_yard(&pairs[i], SIGTERM);
    }
    free(pairs);
}

#define DIES_IN(name, phase)                                                                       \
    static void outputs_after_each_death_when_##name(void **state) {                               \
        (void)state;                                                                               \
        die_in(phase);                                                                             \
    }
DIES_IN(lined, LINED)
DIES_IN(unlocking, UNLOCKING)
DIES_IN(raising, RAISING)
DIES_IN(open, OPEN)
DIES_IN(lowering, LOWERING)
DIES_IN(locking, LOCKING)

/* ---- two bridges, one of whose servers hangs */

static void link_that_hangs_keeps_no_other_bridge_driven(void **state) {
    (void)state;
    struct daemon_pair first = {.has_bridge = false};
    struct daemon_pair second = {.has_bridge = false};
    lift_pair_start_yard(&first, 0);
    lift_pair_start_yard(&second, 0);
    lift_pair_await_yard(&first);
    lift_pair_await_yard(&second);
    cJSON *tree = patient_lift();
    cJSON *other = cJSON_Duplicate(daemon_config_bridge(tree), true);
    cJSON_SetValuestring(cJSON_GetObjectItem(other, "name"), "Otter Cut");
    cJSON_SetNumberValue(cJSON_GetObjectItem(other, "bus"), 2);
    daemon_config_link_to(other, second.yard.port);
    cJSON_AddItemToArray(cJSON_GetObjectItem(tree, "bridges"), other);
    daemon_pair_start_bridge(&first, tree);
    lift_pair_line(&first);
    lift_pair_wait(&second, LIFT_SIGNAL_WEST, 1);
    lift_pair_wait(&second, LIFT_SIGNAL_EAST, 1);
    daemon_expect(&first.command, "SET 2 GA 1 1 1 -1", "200 OK");
    lift_pair_wait(&second, LIFT_RAISE, 1);

    double begun_ms = now_ms();
    assert_int_equal(kill(first.yard.pid, SIGSTOP), 0);
    assert_int_equal(kill(first.bridge.pid, SIGTERM), 0);
    wait_for_off(&second);
    tell("SIGTERM, link hangs", RAISING, "the other bridge all off after", begun_ms);
    int status = daemon_await_end(&first.bridge);
    tell("SIGTERM, link hangs", RAISING, "ended after", begun_ms);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), EX_IOERR);
    assert_non_null(strstr(first.bridge.tail, "Kettle Narrows: its outputs are not known to be"));
    assert_null(strstr(first.bridge.tail, "Otter Cut: its outputs"));
    assert_null(strstr(first.bridge.tail, "outputs safe"));
    assert_int_equal(kill(first.yard.pid, SIGCONT), 0);
    wait_for_off(&first); /* what was sent is obeyed once it can be */
    daemon_disconnect(&first.command);
    daemon_disconnect(&first.info);
    daemon_pair_end_yard(&first, SIGTERM);
    daemon_pair_end_yard(&second, SIGTERM);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(outputs_after_each_death_when_lined),
        cmocka_unit_test(outputs_after_each_death_when_unlocking),
        cmocka_unit_test(outputs_after_each_death_when_raising),
        cmocka_unit_test(outputs_after_each_death_when_open),
        cmocka_unit_test(outputs_after_each_death_when_lowering),
        cmocka_unit_test(outputs_after_each_death_when_locking),
        cmocka_unit_test(link_that_hangs_keeps_no_other_bridge_driven),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
