/* Real daemons as nodes of LCC, beside protocol sessions with the same bridges. */
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/daemon/daemon.h"
#include "support/daemon/daemon_config.h"
#include "support/daemon/daemon_panel.h"
#include "support/lcc/daemon_lcc.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct bridge {
    struct daemon_run run;
    struct daemon_session command, info;
    char config[DAEMON_CONFIG_PATH];
};

struct stage {
    struct bridge first, second;
    struct daemon_node node;
    uint16_t port; /* of the first one's LCC */
};

static void start_paced(struct bridge *bridge, const char *name, const char *links,
                        const char *node, const char *pace) {
    cJSON *tree = daemon_config_read("quiet-bridge.json");
    config_text_patch(tree, "/lcc", links);
    config_text_patch(tree, "/bridges/0/lcc", node);
    daemon_config_write(tree, name, bridge->config);
    daemon_start(&bridge->run, bridge->config, pace);
}

static void start(struct bridge *bridge, const char *name, const char *links, const char *node) {
    start_paced(bridge, name, links, node, "50");
}

static void listen_in(struct bridge *bridge) {
    daemon_connect(&bridge->run, &bridge->command, "COMMAND");
    daemon_connect(&bridge->run, &bridge->info, "INFO");
    daemon_expect(&bridge->command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_read_until(&bridge->info, "100 INFO 1 FB 5 1", NULL);
}

static void end(struct bridge *bridge) {
    daemon_disconnect(&bridge->command);
    daemon_disconnect(&bridge->info);
    daemon_end(&bridge->run, SIGTERM);
    unlink(bridge->config);
}

static int set_up(void **state) {
    struct stage *stage = calloc(1, sizeof *stage);
    start(&stage->first, "lcc-first", "{\"listen\": [{\"may\": \"operate\"}]}",
          "{\"node\": \"0A.44.52.00.00.01\"}");
    stage->port = daemon_lcc_port(&stage->first.run);
    listen_in(&stage->first);
    daemon_lcc_connect(&stage->node, stage->port);
    daemon_lcc_send(&stage->node, ":X1997034CN;"); /* once its node is there it has told all */
    daemon_lcc_await(&stage->node, "194C7", "N010000000000FFFF;");
    *state = stage;
    return 0;
}

static int tear_down(void **state) {
    struct stage *stage = *state;
    daemon_lcc_disconnect(&stage->node);
    end(&stage->first);
    free(stage);
    return 0;
}

static void a_bridge_is_opened_by_an_event_while_a_client_watches(void **state) {
    struct stage *stage = *state;
    uint16_t panel = daemon_panel_port(&stage->first.run);
    int live = daemon_panel_listen(panel);
    assert_true(daemon_panel_await(live, "\"lcc_links\":1"));
    daemon_lcc_send(&stage->node, ":X195B434CN0A44520000011000;"); /* raise */
    daemon_read_until(&stage->first.info, "100 INFO 1 GA 1 1 1", NULL);
    daemon_lcc_await(&stage->node, "195B4", "N0A4452000001000C;"); /* goal up */
    daemon_lcc_await(&stage->node, "195B4", "N0A44520000010002;"); /* moving */
    daemon_lcc_await(&stage->node, "195B4", "N0A44520000010004;"); /* open */
    daemon_lcc_send(&stage->node, ":X1991434CN0A44520000010000;");
    daemon_lcc_await(&stage->node, "19545", "N0A44520000010000;"); /* it is not lined */
    daemon_read_until(&stage->first.info, "100 INFO 1 FB 3 1", NULL);
    assert_true(daemon_panel_await(live, "raise, requested by LCC 1"));
    daemon_lcc_send(&stage->node, ":X195B434CN0A44520000011001;"); /* lower */
    daemon_lcc_await(&stage->node, "195B4", "N0A44520000010000;"); /* lined */
    close(live);
}

/* S9; and latched: the bus's "cleared" acknowledges nothing. */
static void the_emergency_stop_of_the_bus_stops_the_span(void **state) {
    struct stage *stage = *state;
    daemon_expect(&stage->first.command, "SET 1 LOCK GA 1 0", "200 OK");
    daemon_expect(&stage->first.command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_lcc_await(&stage->node, "195B4", "N0A44520000010002;");           /* moving */
    daemon_lcc_send(&stage->node, ":X195B434CN010000000000FFFD;");           /* stop */
    daemon_lcc_await(&stage->node, "195B4", "N0A44520000010006;");           /* fault */
    daemon_expect(&stage->first.command, "GET 1 FB 4", "100 INFO 1 FB 4 0"); /* at rest */
    daemon_read_until(&stage->first.info, "100 INFO 0 GM 0 0 FAULT 1 emergency-stop", NULL);
    daemon_lcc_send(&stage->node, ":X195B434CN010000000000FFFC;:X1949034CN;");
    daemon_lcc_await(&stage->node, "19170", "N0A4452000001;"); /* it was read */
    daemon_expect(&stage->first.command, "GET 1 FB 6", "100 INFO 1 FB 6 1");
    daemon_lcc_send(&stage->node, ":X195B434CN0A44520000011004;:X1949034CN;"); /* acknowledge */
    daemon_lcc_await(&stage->node, "19170", "N0A4452000001;");
    daemon_read_until(&stage->first.info, "100 INFO 0 GM 0 0 REFUSED 1 GA 1", NULL); /* locked */
    daemon_expect(&stage->first.command, "TERM 1 LOCK GA 1", "200 OK");
    daemon_lcc_send(&stage->node, ":X195B434CN0A44520000011004;");
    daemon_lcc_await(&stage->node, "195B4", "N0A44520000010007;"); /* no fault */
}

/* The second bridge is raised by the event that the first is open, over the first one's hub. */
static void a_second_daemon_follows_the_first(void **state) {
    struct stage *stage = *state;
    char links[128];
    snprintf(links, sizeof links,
             "{\"connect\": [{\"address\": \"127.0.0.1\", \"port\": %u, \"may\": \"operate\"}]}",
             stage->port);
    start(&stage->second, "lcc-second", links,
          "{\"node\": \"0A.44.52.00.00.02\", \"events\": ["
          "{\"event\": \"raise\", \"id\": \"0A.44.52.00.00.01.00.04\"}]}");
    listen_in(&stage->second);
    daemon_lcc_await(&stage->node, "19100", "N0A4452000002;"); /* it comes, and tells all */
    daemon_lcc_await(&stage->node, "194C7", "N010000000000FFFF;");
    daemon_expect(&stage->first.command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_lcc_await(&stage->node, "195B4", "N0A44520000010004;"); /* the first is open */
    daemon_read_until(&stage->second.info, "100 INFO 1 GA 1 1 1", NULL);
    daemon_lcc_await(&stage->node, "195B4", "N0A44520000020004;"); /* the second is open */
    /* Its hub dies: the bridge goes on with its own means. */
    daemon_end(&stage->first.run, SIGKILL);
    daemon_expect(&stage->second.command, "SET 1 GA 1 0 1 -1", "200 OK");
    daemon_read_until(&stage->second.info, "100 INFO 1 FB 5 1", NULL);
    end(&stage->second);
    daemon_disconnect(&stage->first.command);
    daemon_disconnect(&stage->first.info);
    unlink(stage->first.config);
    daemon_lcc_disconnect(&stage->node);
    free(stage);
    *state = NULL;
}

/* In real time, for a layout's clock is not hurried; the digest's examples 27 and 28. */
static void time_is_that_of_the_layout(void **state) {
    struct bridge bridge;
    struct daemon_node clock;
    (void)state;
    start_paced(&bridge, "lcc-clock", "{\"listen\": [{}], \"clock\": \"01.01.00.00.01.00\"}",
                "{\"node\": \"0A.44.52.00.00.01\"}", "1");
    daemon_connect(&bridge.run, &bridge.command, "COMMAND");
    daemon_connect(&bridge.run, &bridge.info, "INFO");
    daemon_lcc_connect(&clock, daemon_lcc_port(&bridge.run));
    daemon_lcc_send(&clock, ":X1997034CN;");
    daemon_lcc_await(&clock, "194A4", "N010100000100FFFF;");
    daemon_expect(&bridge.command, "GET 0 TIME", "416 ");
    daemon_lcc_send(&clock, ":X1954434CN010100000100F001;:X195B434CN0101000001004018;"
                            ":X195B434CN010100000100080A;");
    daemon_read_until(&bridge.info, "101 INFO 0 TIME 0 1", NULL); /* stopped */
    daemon_read_until(&bridge.info, "100 INFO 0 TIME 1 8 10 0", NULL);
    daemon_expect(&bridge.command, "GET 0 TIME", "100 INFO 0 TIME 1 8 10 0");
    daemon_expect(&bridge.command, "SET 0 TIME 1 12 0 0", "415 ");
    daemon_read_until(&bridge.info, "100 INFO 0 GM 0 0 REFUSED 0 TIME 0", NULL);
    daemon_expect(&bridge.command, "INIT 0 TIME 6 1", "415 ");
    daemon_expect(&bridge.command, "TERM 0 TIME", "415 ");
    daemon_expect(&bridge.command, "RESET 0 SERVER", "200 ");
    daemon_expect(&bridge.command, "GET 0 TIME", "100 INFO 0 TIME 1 8 10 0");
    /* What waits goes when the layout's clock comes there. */
    daemon_lcc_send(&clock, ":X195B434CN010100000100F002;");
    daemon_read_until(&bridge.info, "101 INFO 0 TIME 6 1", NULL);
    daemon_expect(&bridge.command, "WAIT 0 TIME 1 8 10 3", "100 INFO 0 TIME 1 8 10");
    daemon_lcc_send(&clock, ":X195B434CN0101000001001700;");
    daemon_expect(&bridge.command, "WAIT 0 TIME 1 20 0 0", "100 INFO 0 TIME 1 23 ");
    daemon_lcc_send(&clock, ":X195B434CN0101000001000005;"); /* over midnight */
    daemon_read_until(&bridge.info, "100 INFO 0 TIME 2 0 5 0", NULL);
    daemon_lcc_disconnect(&clock);
    end(&bridge);
}

static void a_daemon_whose_place_is_taken_does_not_start(void **state) {
    struct stage *stage = *state;
    char links[128], path[DAEMON_CONFIG_PATH], err[4096];
    cJSON *tree = daemon_config_read("quiet-bridge.json");
    snprintf(links, sizeof links, "{\"listen\": [{\"port\": %u}]}", stage->port);
    config_text_patch(tree, "/lcc", links);
    config_text_patch(tree, "/server/panels", "[]");
    daemon_config_write(tree, "lcc-taken", path);
    char port[16];
    snprintf(port, sizeof port, "%u", stage->port == 65535 ? 65534 : stage->port + 1);
    const char *const arguments[] = {"--config", path, "--port", port, NULL};
    int status = daemon_run_once(arguments, NULL, err, sizeof err);
    unlink(path);
    assert_int_not_equal(status, 0);
    assert_non_null(strstr(err, "cannot listen"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_bridge_is_opened_by_an_event_while_a_client_watches,
                                        set_up, tear_down),
        cmocka_unit_test_setup_teardown(the_emergency_stop_of_the_bus_stops_the_span, set_up,
                                        tear_down),
        cmocka_unit_test_setup(a_second_daemon_follows_the_first, set_up),
        cmocka_unit_test(time_is_that_of_the_layout),
        cmocka_unit_test_setup_teardown(a_daemon_whose_place_is_taken_does_not_start, set_up,
                                        tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
