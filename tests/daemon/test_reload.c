/* A new configuration for a running daemon: taken only where nothing is lost by it. */
#include "core/bridge.h"
#include "process/reload.h"
#include "process/signals.h"
#include "support/check.h"
#include "support/core/puppet.h"
#include "support/daemon/daemon.h"
#include "support/daemon/daemon_config.h"

#include <event2/event.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

/* ---- when it may be */

static const struct line_track tracks[BRIDGE_TRACKS_MAX] = {{"main", {"west", "east"}}};

/* A lined bridge with its power on and no train near. */
static struct bridge_view lined_view(const struct bridge_setup *setup) {
    struct bridge_view view = {0};
    bridge_start(setup, &view.state);
    view.state.phase = PHASE_LINED;
    view.state.is_power_wanted = true;
    view.state.contacts.seated.believed = LEVEL_ON;
    view.state.contacts.locked.believed = LEVEL_ON;
    for (unsigned i = 0; i < BRIDGE_RAILS_MAX; i++) {
        view.state.contacts.rail[i].believed = LEVEL_ON;
    }
    return view;
}

static void expect_refused(const struct bridge_setup *setup, const struct bridge_view *view,
                           const char *words) {
    char why[128] = "";
    assert_false(reload_may(setup, view, tracks, why, sizeof why));
    assert_non_null(strstr(why, words));
}

static void a_bridge_that_is_lined_and_at_rest_may_start_anew_and_no_other(void **state) {
    (void)state;
    const struct bridge_setup setup = puppet_setup();
    const struct bridge_view lined = lined_view(&setup);
    char why[128] = "";
    assert_true(reload_may(&setup, &lined, tracks, why, sizeof why));
    for (enum bridge_phase phase = 0; phase < BRIDGE_PHASES; phase++) {
        struct bridge_view view = lined;
        view.state.phase = phase;
        if (phase != PHASE_LINED) {
            expect_refused(&setup, &view, "not lined and at rest");
        }
    }
    struct bridge_view view = lined;
    view.state.is_power_wanted = false; /* such as after an emergency stop */
    expect_refused(&setup, &view, "track power");
    view = lined;
    view.state.track[0].end[1].is_approached = true;
    expect_refused(&setup, &view, "in an approach of track main");
    view = lined;
    view.state.track[0].end[0].is_occupied = true;
    expect_refused(&setup, &view, "on a stop section");
    view = lined;
    view.state.track[0].is_occupied = true;
    expect_refused(&setup, &view, "on the span");
}

/* ---- no signal is lost between two programs */

static void on_stop(void *context, const char *name) {
    (void)name;
    ++*(unsigned *)context;
}

static void an_end_that_is_asked_for_meanwhile_is_kept_for_the_next_program(void **state) {
    (void)state;
    unsigned stops = 0;
    struct event_base *base = event_base_new();
    event_base_priority_init(base, 2);
    signals_hold();
    raise(SIGTERM);
    struct signals *signals = signals_new(base, on_stop, &stops);
    assert_non_null(signals);
    event_base_loop(base, EVLOOP_ONCE | EVLOOP_NONBLOCK);
    assert_int_equal(stops, 1);
    signals_free(signals);
    event_base_free(base);
}

/* ---- a real daemon */

static char config[DAEMON_CONFIG_PATH];

/* Writes the configuration of the test anew, with the bridge on this bus; a lift kind that there is
 * not is a mistake. */
static void write_config(int bus, const char *kind) {
    char name[64];
    cJSON *tree = daemon_config_read("quiet-bridge.json");
    cJSON *bridge = daemon_config_bridge(tree);
    cJSON_SetNumberValue(cJSON_GetObjectItemCaseSensitive(bridge, "bus"), bus);
    if (kind != NULL) {
        cJSON *lift = cJSON_GetObjectItemCaseSensitive(bridge, "lift");
        cJSON_SetValuestring(cJSON_GetObjectItemCaseSensitive(lift, "kind"), kind);
    }
    snprintf(name, sizeof name, "reload-%d.json", (int)getpid());
    daemon_config_write(tree, name, config);
}

static void start(struct daemon_run *run, struct daemon_session *command) {
    write_config(1, NULL);
    daemon_start(run, config, "50");
    daemon_connect(run, command, "COMMAND");
    daemon_expect(command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
}

static void end(struct daemon_run *run) {
    int status = daemon_end(run, SIGTERM);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
    remove(config);
}

/* Returns where the log says so, after `from` (NULL: anywhere), with its line whole. */
static const char *wait_for(struct daemon_run *run, const char *after, const char *words) {
    for (;;) {
        const char *from = after != NULL ? strstr(run->tail, after) : run->tail;
        const char *found = from != NULL ? strstr(from, words) : NULL;
        if (found != NULL && strchr(found, '\n') != NULL) {
            return found;
        }
        if (!daemon_read_log(run)) {
            fail_msg("ended without '%s':\n%s", words, run->tail);
        }
    }
}

static void a_lined_bridge_takes_it_in_the_same_process(void **state) {
    (void)state;
    struct daemon_run run;
    struct daemon_session command;
    start(&run, &command);
    write_config(2, NULL);
    assert_int_equal(kill(run.pid, SIGUSR1), 0);
    wait_for(&run, NULL, "/bridges/0/bus: 1 becomes 2");
    wait_for(&run, "reload: applied", "outputs safe, exiting");
    const char *says = wait_for(&run, "outputs safe, exiting", "listening on ");
    assert_int_equal(sscanf(says, "listening on %*s port %hu", &run.port), 1);
    assert_false(daemon_read(&command)); /* its sessions end, as at every start */
    daemon_disconnect(&command);
    daemon_connect(&run, &command, "COMMAND");
    daemon_expect(&command, "WAIT 2 FB 5 1 300", "100 INFO 2 FB 5 1");
    daemon_expect(&command, "GET 2 POWER", "100 INFO 2 POWER ON");
    daemon_disconnect(&command);
    end(&run);
}

static void a_moving_bridge_goes_on_with_what_it_has(void **state) {
    (void)state;
    struct daemon_run run;
    struct daemon_session command;
    start(&run, &command);
    daemon_expect(&command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_expect(&command, "WAIT 1 FB 4 1 300", "100 INFO 1 FB 4 1"); /* it moves */
    write_config(2, NULL);
    assert_int_equal(kill(run.pid, SIGUSR1), 0);
    wait_for(&run, NULL, "reload: not applied, nothing has changed: Kettle Narrows");
    daemon_expect(&command, "WAIT 1 FB 3 1 600", "100 INFO 1 FB 3 1"); /* open */
    daemon_disconnect(&command);
    end(&run);
}

static void mistakes_are_told_and_the_bridge_goes_on(void **state) {
    (void)state;
    struct daemon_run run;
    struct daemon_session command;
    start(&run, &command);
    write_config(1, "balloon");
    assert_int_equal(kill(run.pid, SIGUSR1), 0);
    wait_for(&run, NULL, "error: /bridges/0/lift/kind");
    wait_for(&run, NULL, "has errors");
    daemon_expect(&command, "GET 1 FB 5", "100 INFO 1 FB 5 1");
    write_config(1, NULL);
    assert_int_equal(kill(run.pid, SIGUSR1), 0);
    wait_for(&run, NULL, "reload: nothing has changed");
    daemon_expect(&command, "GET 1 FB 5", "100 INFO 1 FB 5 1");
    daemon_disconnect(&command);
    end(&run);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bridge_that_is_lined_and_at_rest_may_start_anew_and_no_other),
        cmocka_unit_test(an_end_that_is_asked_for_meanwhile_is_kept_for_the_next_program),
        cmocka_unit_test(a_lined_bridge_takes_it_in_the_same_process),
        cmocka_unit_test(a_moving_bridge_goes_on_with_what_it_has),
        cmocka_unit_test(mistakes_are_told_and_the_bridge_goes_on),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
