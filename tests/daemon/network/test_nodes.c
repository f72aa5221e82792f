/* A real daemon whose bridge is guarded by a signal and a detector of other nodes of LCC, and
 * opened by a push button of another: config/other-nodes.json with a shorter travel, in real time.
 */
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/daemon/daemon.h"
#include "support/daemon/daemon_config.h"
#include "support/daemon/daemon_panel.h"
#include "support/lcc/other_nodes.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

struct stage {
    struct other_nodes nodes;
    struct daemon_run run;
    struct daemon_session command, info;
    char config[DAEMON_CONFIG_PATH];
    bool has_ended, have_nodes_ended;
};

static const char raise_button[] = "0A44520000400000", lower_button[] = "0A44520000400001";

static void shorten(cJSON *tree) {
    static const struct {
        const char *where, *value;
    } edits[] = {{"/bridges/0/lift/travel", "\"8 deg\""},
                 {"/bridges/0/motion/creep speed", "\"1 deg/s\""},
                 {"/bridges/0/motion/acceleration", "\"4 deg/s2\""},
                 {"/bridges/0/motion/slow zone at seat", "\"0.5 deg\""},
                 {"/bridges/0/motion/slow zone at open", "\"0.5 deg\""},
                 {"/bridges/0/simulation/lock time", "\"300 ms\""},
                 {"/bridges/0/simulation/contact places",
                  "{\"seated\": \"0.05 deg\", \"open\": \"7.95 deg\"}"},
                 {"/bridges/0/warning",
                  "{\"least\": \"200 ms\", \"short blast\": \"100 ms\", \"prolonged blast\": "
                  "\"500 ms\", \"gap\": \"100 ms\"}"},
                 {"/bridges/0/timing", "{\"clear delay\": \"200 ms\"}"},
                 {"/bridges/0/tracks/0/trains", NULL},
                 {"/bridges/0/tracks/0/ends/0/approach lock", "\"1 s\""},
                 {"/bridges/0/tracks/0/ends/1/approach lock", "\"1 s\""}};
    for (size_t i = 0; i < sizeof edits / sizeof edits[0]; i++) {
        config_text_patch(tree, edits[i].where, edits[i].value);
    }
}

static int set_up(void **state) {
    struct stage *stage = calloc(1, sizeof *stage);
    other_nodes_start(&stage->nodes);
    char port[16];
    snprintf(port, sizeof port, "%u", stage->nodes.port);
    cJSON *tree = daemon_config_read("../../config/other-nodes.json");
    shorten(tree);
    config_text_patch(tree, "/lcc/connect/0/port", port);
    daemon_config_write(tree, "other-nodes", stage->config);
    daemon_start(&stage->run, stage->config, "1");
    daemon_connect(&stage->run, &stage->command, "COMMAND");
    daemon_connect(&stage->run, &stage->info, "INFO");
    daemon_expect(&stage->command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1"); /* lined */
    other_nodes_await_signal(&stage->nodes, true);
    *state = stage;
    return 0;
}

static int tear_down(void **state) {
    struct stage *stage = *state;
    daemon_disconnect(&stage->command);
    daemon_disconnect(&stage->info);
    if (!stage->has_ended) {
        daemon_end(&stage->run, SIGTERM);
    }
    if (!stage->have_nodes_ended) {
        other_nodes_end(&stage->nodes);
    }
    unlink(stage->config);
    free(stage);
    return 0;
}

static void a_button_of_another_node_opens_a_bridge_that_another_signal_guards(void **state) {
    struct stage *stage = *state;
    int live = daemon_panel_listen(daemon_panel_port(&stage->run));
    assert_true(daemon_panel_await(live, "\"lcc_links\":1"));
    assert_true(stage->nodes.stops > 0); /* it was at proceed before anybody had looked */
    other_nodes_report(&stage->nodes, raise_button);
    daemon_read_until(&stage->info, "100 INFO 1 GA 11 1 0",
                      NULL); /* its own signal, told to stop */
    daemon_expect(&stage->command, "WAIT 1 FB 4 1 300", "100 INFO 1 FB 4 1"); /* moves */
    assert_false(stage->nodes.is_at_proceed);
    daemon_read_until(&stage->info, "100 INFO 1 FB 3 1", NULL); /* open */
    assert_true(daemon_panel_await(live, "raise, requested by LCC 1"));
    other_nodes_report(&stage->nodes, lower_button);
    daemon_read_until(&stage->info, "100 INFO 1 FB 5 1", NULL);
    close(live);
}

/* S7. */
static void a_hub_that_dies_stops_the_lift(void **state) {
    struct stage *stage = *state;
    other_nodes_report(&stage->nodes, raise_button);
    daemon_expect(&stage->command, "WAIT 1 FB 4 1 300", "100 INFO 1 FB 4 1");
    other_nodes_end(&stage->nodes);
    stage->have_nodes_ended = true;
    daemon_read_until(&stage->info, "100 INFO 0 GM 0 0 FAULT 1 device-lost", "100 INFO 1 FB 3 1");
    daemon_expect(&stage->command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    /* It cannot say that the signal is at stop. */
    int status = daemon_end(&stage->run, SIGTERM);
    stage->has_ended = true;
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) != 0);
}

static void a_train_that_a_node_sees_is_told(void **state) {
    struct stage *stage = *state;
    assert_false(stage->nodes.is_occupied);
    other_nodes_report(&stage->nodes, "0A44520000420000");
    daemon_read_until(&stage->info, "100 INFO 1 FB 101 1", NULL); /* the approach, occupied */
    other_nodes_report(&stage->nodes, "0A44520000420001");
    daemon_read_until(&stage->info, "100 INFO 1 FB 101 0", NULL);
}

/* An orderly end waits for the proof; a crash says stop, too. */
static void the_signal_is_put_to_stop_by_every_end(void **state) {
    struct stage *stage = *state;
    unsigned stops = stage->nodes.stops;
    int status = daemon_end(&stage->run, SIGTERM);
    stage->has_ended = true;
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    assert_true(stage->nodes.stops > stops);
    assert_false(stage->nodes.is_at_proceed);
}

static void a_crash_commands_stop(void **state) {
    struct stage *stage = *state;
    unsigned stops = stage->nodes.stops;
    int status = daemon_end(&stage->run, SIGSEGV);
    stage->has_ended = true;
    assert_true(WIFSIGNALED(status));
    other_nodes_report(&stage->nodes,
                       "0A44520000FF0000"); /* has a turn: what came before is read */
    other_nodes_end(&stage->nodes);
    stage->have_nodes_ended = true;
    assert_true(stage->nodes.stops > stops);
}

int main(void) {
#define NODES_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        NODES_TEST(a_button_of_another_node_opens_a_bridge_that_another_signal_guards),
        NODES_TEST(a_hub_that_dies_stops_the_lift),
        NODES_TEST(a_train_that_a_node_sees_is_told),
        NODES_TEST(the_signal_is_put_to_stop_by_every_end),
        NODES_TEST(a_crash_commands_stop),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
