/* The panel of a real daemon on a simulated bridge, beside protocol sessions with the same one. */
#include "support/check.h"
#include "support/daemon/daemon.h"
#include "support/daemon/daemon_panel.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char bridge[] = SOURCE_DIR "/tests/daemon/quiet-bridge.json";

struct stage {
    struct daemon_run run;
    struct daemon_session command;
    struct daemon_session info;
    uint16_t panel;
    char answer[65536];
};

static int set_up(void **state) {
    struct stage *stage = calloc(1, sizeof *stage);
    daemon_start(&stage->run, bridge, "50");
    stage->panel = daemon_panel_port(&stage->run);
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

static int ask(struct stage *stage, const char *what) {
    char moment[64];
    char body[160];
    daemon_panel_moment(stage->panel, moment, sizeof moment);
    snprintf(body, sizeof body, "{\"bus\":1,\"ask\":\"%s\",\"moment\":\"%s\"}", what, moment);
    return daemon_panel_ask(stage->panel, "/ask", body, stage->answer, sizeof stage->answer);
}

static void a_span_raised_over_the_panel_is_seen_by_the_protocol_and_back(void **state) {
    struct stage *stage = *state;
    int live = daemon_panel_listen(stage->panel);
    assert_true(daemon_panel_await(live, "\"phase\":\"lined\""));
    assert_int_equal(ask(stage, "raise"), 200);
    assert_non_null(strstr(stage->answer, "\"granted\":true"));
    daemon_read_until(&stage->info, "100 INFO 1 GA 1 1 1", NULL);
    daemon_read_until(&stage->info, "100 INFO 1 FB 3 1", NULL);
    assert_true(daemon_panel_await(live, "\"phase\":\"open\""));
    daemon_expect(&stage->command, "SET 1 GA 1 0 1 -1", "200 OK");
    assert_true(daemon_panel_await(live, "lower, requested by session "));
    daemon_read_until(&stage->info, "100 INFO 1 FB 5 1", NULL);
    assert_true(daemon_panel_await(live, "\"phase\":\"lined\""));
    close(live);
}

static void s9_the_panels_stops_act_while_a_session_holds_the_lock(void **state) {
    struct stage *stage = *state;
    int live = daemon_panel_listen(stage->panel);
    assert_true(daemon_panel_await(live, "\"raise\":null"));
    daemon_expect(&stage->command, "SET 1 LOCK GA 1 0", "200 OK");
    assert_true(daemon_panel_await(live, "\"raise\":\"session "));
    assert_int_equal(ask(stage, "raise"), 409);
    assert_non_null(strstr(stage->answer, "has locked it"));
    daemon_read_until(&stage->info, "100 INFO 0 GM 0 0 REFUSED 1 GA 1 0 session ", NULL);
    daemon_expect(&stage->command, "GET 1 GA 1 1", "100 INFO 1 GA 1 1 0");

    daemon_expect(&stage->command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_expect(&stage->command, "WAIT 1 FB 4 1 90", "100 INFO 1 FB 4 1");
    assert_int_equal(ask(stage, "emergency stop"), 200);
    daemon_expect(&stage->command, "GET 1 FB 4", "100 INFO 1 FB 4 0"); /* the lift is at rest */
    daemon_expect(&stage->command, "GET 1 GA 1 3", "100 INFO 1 GA 1 3 1");
    daemon_read_until(&stage->info, "100 INFO 0 GM 0 0 FAULT 1 emergency-stop", NULL);
    assert_true(daemon_panel_await(live, "emergency-stop, requested by the panel at 127.0.0.1"));

    daemon_expect(&stage->command, "TERM 1 LOCK GA 1", "200 OK");
    assert_int_equal(ask(stage, "acknowledge"), 200);
    daemon_read_until(&stage->info, "100 INFO 0 GM 0 0 FAULT 1 none", NULL);
    close(live);
}

static void what_the_bridge_refuses_is_told_to_all(void **state) {
    struct stage *stage = *state;
    assert_int_equal(ask(stage, "emergency stop"), 200);
    assert_int_equal(ask(stage, "raise"), 409);
    assert_non_null(strstr(stage->answer, "a fault is latched"));
    daemon_read_until(&stage->info, "100 INFO 0 GM 0 0 REFUSED 1 GA 1 0 a fault is latched", NULL);
    assert_int_equal(ask(stage, "power on"), 409);
    daemon_read_until(&stage->info, "100 INFO 0 GM 0 0 REFUSED 1 POWER 0 0 ", NULL);
}

static void the_demo_has_what_the_page_needs(void **state) {
    struct stage *stage = *state;
    assert_int_equal(daemon_panel_ask(stage->panel, "/", NULL, stage->answer, sizeof stage->answer),
                     200);
    assert_int_equal(
        daemon_panel_ask(stage->panel, "/bridges", NULL, stage->answer, sizeof stage->answer), 200);
    assert_non_null(strstr(stage->answer, "\"may\":\"operate\""));
    assert_int_equal(daemon_panel_ask(stage->panel, "/plots/1/leaf.svg", NULL, stage->answer,
                                      sizeof stage->answer),
                     200);
}

static void the_stream_ends_with_the_daemon(void **state) {
    struct stage *stage = *state;
    int live = daemon_panel_listen(stage->panel);
    assert_true(daemon_panel_await(live, "event: state"));
    assert_int_equal(kill(stage->run.pid, SIGTERM), 0);
    assert_false(daemon_panel_await(live, "this never comes"));
    close(live);
}

int main(void) {
    const struct CMUnitTest tests[] = {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
        STAGED(a_span_raised_over_the_panel_is_seen_by_the_protocol_and_back),
        STAGED(s9_the_panels_stops_act_while_a_session_holds_the_lock),
        STAGED(what_the_bridge_refuses_is_told_to_all),
        STAGED(the_demo_has_what_the_page_needs),
        STAGED(the_stream_ends_with_the_daemon),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
