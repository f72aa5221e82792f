/* Bridges as nodes of LCC in a configuration: every mistake, with its place. */
#include "config/config.h"
#include "protocol/lcc/event.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct config config;
static struct config_report report;

/* The demo with these links, and this node. */
static bool read_with(const char *links, const char *node_) {
    size_t length;
    const char *demo = config_demo_text(&length);
    cJSON *tree = cJSON_ParseWithLength(demo, length);
    if (links != NULL) {
        config_text_patch(tree, "/lcc", links);
    }
    if (node_ != NULL) {
        config_text_patch(tree, "/bridges/0/lcc", node_);
    }
    char *text = cJSON_PrintUnformatted(tree);
    bool is_usable = config_read_text(text, strlen(text), &config, &report);
    cJSON_free(text);
    cJSON_Delete(tree);
    return is_usable;
}

static const char node[] = "{\"node\": \"0A.44.52.00.00.01\"}";

static void without_it_no_bridge_is_a_node(void **state) {
    (void)state;
    assert_true(read_with(NULL, NULL));
    assert_int_equal(config.lcc.listeners + config.lcc.hubs + config.lcc.buses, 0);
    assert_true(config.lcc.bridge[0].node == 0);
}

static void links_have_defaults(void **state) {
    (void)state;
    assert_true(read_with("{\"listen\": [{}], \"connect\": [{\"address\": \"::1\"}], "
                          "\"can\": [{\"interface\": \"can0\"}]}",
                          node));
    assert_int_equal(config.lcc.listeners, 1);
    assert_string_equal(config.lcc.listener[0].address, "127.0.0.1");
    assert_int_equal(config.lcc.listener[0].port, 12021); /* by convention, no adopted text */
    assert_int_equal(config.lcc.listener[0].right, NET_OBSERVE);
    assert_int_equal(config.lcc.listener[0].sessions_max, 8);
    assert_int_equal(config.lcc.hubs, 1);
    assert_int_equal(config.lcc.hub[0].port, 12021);
    assert_int_equal(config.lcc.hub[0].right, NET_OBSERVE);
    assert_int_equal(config.lcc.buses, 1);
    assert_string_equal(config.lcc.can[0].interface, "can0");
    assert_int_equal(config.lcc.can[0].right, NET_OBSERVE);
    assert_int_equal(report.warnings.count, 0);
}

static void a_right_to_operate_and_an_open_place_are_warnings(void **state) {
    (void)state;
    assert_true(
        read_with("{\"listen\": [{\"address\": \"0.0.0.0\", \"may\": \"operate\"}], "
                  "\"connect\": [{\"address\": \"::1\", \"port\": 12031, \"may\": \"operate\"}], "
                  "\"can\": [{\"interface\": \"can0\", \"may\": \"operate\"}]}",
                  node));
    assert_true(
        config_text_has(&report.warnings, "/lcc/listen/0/address", "open to other machines"));
    assert_true(config_text_has(&report.warnings, "/lcc/listen/0/may", "can move the bridge"));
    assert_true(config_text_has(&report.warnings, "/lcc/connect/0/may", "can move the bridge"));
    assert_true(config_text_has(&report.warnings, "/lcc/can/0/may", "can move the bridge"));
}

static void nobody_administers(void **state) {
    (void)state;
    assert_false(read_with("{\"listen\": [{\"may\": \"administer\"}]}", node));
    assert_true(config_text_has(&report.errors, "/lcc/listen/0/may", "administer"));
}

static void wrong_links_are_told(void **state) {
    (void)state;
    assert_false(read_with("{\"listen\": [{\"address\": \"here\"}, {}, {}, {\"port\": 4303}], "
                           "\"connect\": [{\"address\": \"hub\"}, {\"address\": \"::1\"}, "
                           "{\"address\": \"::1\"}], "
                           "\"can\": [{\"interface\": \"can 0\"}, {\"interface\": \"can1\"}, "
                           "{\"interface\": \"can1\"}]}",
                           node));
    assert_true(config_text_has(&report.errors, "/lcc/listen/0/address", "numeric"));
    assert_true(
        config_text_has(&report.errors, "/lcc/listen/2", "listener 1 already has this address"));
    assert_true(config_text_has(&report.errors, "/lcc/listen/3",
                                "already used by listener 0 of the server"));
    assert_true(config_text_has(&report.errors, "/lcc/connect/0/address", "numeric"));
    assert_true(config_text_has(&report.errors, "/lcc/connect/2", "hub 1 again"));
    assert_true(config_text_has(&report.errors, "/lcc/can/0/interface", "can0"));
    assert_true(config_text_has(&report.errors, "/lcc/can/2/interface", "already used by bus 1"));
}

static void a_way_back_to_itself_is_told(void **state) {
    (void)state;
    assert_false(read_with("{\"listen\": [{}, {\"address\": \"0.0.0.0\", \"port\": 12030}], "
                           "\"connect\": [{\"address\": \"127.0.0.1\"}, "
                           "{\"address\": \"127.0.0.1\", \"port\": 12030}]}",
                           node));
    assert_true(config_text_has(&report.errors, "/lcc/connect/0", "own listener 0"));
    assert_true(config_text_has(&report.errors, "/lcc/connect/1", "own listener 1"));
    assert_true(read_with("{\"listen\": [{}], "
                          "\"connect\": [{\"address\": \"127.0.0.1\", \"port\": 12031}, "
                          "{\"address\": \"192.168.7.20\"}]}",
                          node));
}

static void a_node_id_has_no_default_and_must_be_one(void **state) {
    (void)state;
    assert_false(read_with(NULL, "{}"));
    assert_true(config_text_has(&report.errors, "/bridges/0/lcc/node", "missing") ||
                config_text_has(&report.errors, "/bridges/0/lcc", "node"));
    assert_false(read_with(NULL, "{\"node\": \"127.0.0.1\"}"));
    assert_true(config_text_has(&report.errors, "/bridges/0/lcc/node", "wanted six bytes"));
    assert_false(read_with(NULL, "{\"node\": \"00.44.52.00.00.01\"}"));
    assert_true(config_text_has(&report.errors, "/bridges/0/lcc/node", "00 or FF"));
    assert_true(read_with("{\"listen\": [{}]}", "{\"node\": \"08.01.00.0D.00.01\"}"));
    assert_true(config_text_has(&report.warnings, "/bridges/0/lcc/node", "leased"));
}

static void a_node_without_a_link_and_a_link_without_a_node_are_warnings(void **state) {
    (void)state;
    assert_true(read_with(NULL, node));
    assert_true(config_text_has(&report.warnings, "/bridges/0/lcc/node", "nothing leads to a bus"));
    assert_true(read_with("{\"listen\": [{}]}", NULL));
    assert_true(config_text_has(&report.warnings, "/lcc", "no bridge has a node id"));
}

static const struct lcc_state_setup *state_called(const char *name) {
    const struct lcc_bridge_setup *lcc = &config.lcc.bridge[0];
    for (unsigned i = 0; i < lcc->states; i++) {
        if (strcmp(lcc->state[i].name[1], name) == 0) {
            return &lcc->state[i];
        }
    }
    fail_msg("no state \"%s\"", name);
    return NULL;
}

static const struct lcc_request_setup *request_called(const char *name) {
    const struct lcc_bridge_setup *lcc = &config.lcc.bridge[0];
    for (unsigned i = 0; i < lcc->requests; i++) {
        if (strcmp(lcc->request[i].name, name) == 0) {
            return &lcc->request[i];
        }
    }
    return NULL;
}

/* Written down in config/README.md: whoever has copied them counts on them. */
static void ids_are_never_renumbered(void **state) {
    (void)state;
    static const struct {
        const char *name;
        uint64_t id;
    } states[] = {
        {"lined", 0x0A44520000010000},
        {"moving", 0x0A44520000010002},
        {"open", 0x0A44520000010004},
        {"fault", 0x0A44520000010006},
        {"seated", 0x0A44520000010008},
        {"locked", 0x0A4452000001000A},
        {"goal up", 0x0A4452000001000C},
        {"goal down", 0x0A4452000001000E},
        {"main west signal proceed", 0x0A44520000010100},
        {"main west approach occupied", 0x0A44520000010102},
        {"main west stop section occupied", 0x0A44520000010104},
        {"main west stop section powered", 0x0A44520000010106},
        {"main east signal proceed", 0x0A44520000010120},
        {"main span occupied", 0x0A44520000010200},
        {"main span powered", 0x0A44520000010202},
    };
    assert_true(read_with("{\"listen\": [{}]}", node));
    for (size_t i = 0; i < sizeof states / sizeof states[0]; i++) {
        assert_true(state_called(states[i].name)->event[1] == states[i].id);
        assert_true(state_called(states[i].name)->event[0] == states[i].id + 1);
    }
    static const char *const requests[] = {"raise", "lower", "stop", "emergency stop",
                                           "acknowledge"};
    for (size_t i = 0; i < sizeof requests / sizeof requests[0]; i++) {
        assert_true(request_called(requests[i])->event == 0x0A44520000011000 + i);
    }
    assert_true(request_called("emergency stop of the bus")->event == LCC_EMERGENCY_STOP);
    assert_true(request_called("emergency off of the bus")->event == LCC_EMERGENCY_OFF);
    assert_true(request_called("emergency stop of the bus")->is_of_bus);
    assert_null(request_called("power on"));
}

static void keys_add_power_and_leave_the_bus_out(void **state) {
    (void)state;
    assert_true(read_with("{\"listen\": [{}]}", "{\"node\": \"0A.44.52.00.00.01\", "
                                                "\"power\": true, \"obeys the bus\": false}"));
    assert_true(request_called("power on")->event == 0x0A44520000011005);
    assert_true(request_called("power off")->event == 0x0A44520000011006);
    assert_null(request_called("emergency stop of the bus"));
    assert_null(request_called("emergency off of the bus"));
}

static bool read_events(const char *events) {
    char text[1000];
    snprintf(text, sizeof text, "{\"node\": \"0A.44.52.00.00.01\", \"events\": [%s]}", events);
    return read_with("{\"listen\": [{}]}", text);
}

static void any_event_can_have_another_id(void **state) {
    (void)state;
    assert_true(read_events("{\"event\": \"raise\", \"id\": \"05.01.01.01.A2.07.00.01\"}, "
                            "{\"event\": \"not lined\", \"id\": \"05.01.01.01.A2.07.00.02\"}"));
    assert_true(request_called("raise")->event == 0x05010101A2070001);
    assert_true(state_called("lined")->event[0] == 0x05010101A2070002);
    assert_true(state_called("lined")->event[1] == 0x0A44520000010000);
}

static void wrong_events_are_told(void **state) {
    (void)state;
    assert_false(read_events("{\"event\": \"rise\", \"id\": \"05.01.01.01.A2.07.00.01\"}, "
                             "{\"event\": \"lower\", \"id\": \"05.01\"}, "
                             "{\"event\": \"nothing like it\", \"id\": \"05.01\"}"));
    assert_true(config_text_has(&report.errors, "/bridges/0/lcc/events/0/event", "\"raise\""));
    assert_true(
        config_text_has(&report.errors, "/bridges/0/lcc/events/1/id", "wanted eight bytes"));
    assert_true(
        config_text_has(&report.errors, "/bridges/0/lcc/events/2/event", "there is no event"));
    assert_false(read_events("{\"event\": \"raise\", \"id\": \"0A.44.52.00.00.01.00.04\"}"));
    assert_true(
        config_text_has(&report.errors, "/bridges/0/lcc/events", "both \"open\" and \"raise\""));
}

static void a_clock_is_followed_only_where_it_is_named(void **state) {
    (void)state;
    assert_true(read_with("{\"listen\": [{}]}", node));
    assert_false(config.net.follows_clock);
    assert_true(config.lcc.clock == 0);
    assert_true(read_with("{\"listen\": [{}], \"clock\": \"01.01.00.00.01.00\"}", node));
    assert_true(config.net.follows_clock);
    assert_true(config.lcc.clock == UINT64_C(0x0101000001000000));
    assert_false(read_with("{\"listen\": [{}], \"clock\": \"fast\"}", node));
    assert_true(config_text_has(&report.errors, "/lcc/clock", "wanted six bytes"));
    assert_false(read_with("{\"listen\": [{}], \"clock\": \"01.01.00.00.01.00\"}", NULL));
    assert_true(config_text_has(&report.errors, "/lcc/clock", "a bridge must be a node"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_clock_is_followed_only_where_it_is_named),
        cmocka_unit_test(without_it_no_bridge_is_a_node),
        cmocka_unit_test(links_have_defaults),
        cmocka_unit_test(a_right_to_operate_and_an_open_place_are_warnings),
        cmocka_unit_test(nobody_administers),
        cmocka_unit_test(wrong_links_are_told),
        cmocka_unit_test(a_way_back_to_itself_is_told),
        cmocka_unit_test(a_node_id_has_no_default_and_must_be_one),
        cmocka_unit_test(a_node_without_a_link_and_a_link_without_a_node_are_warnings),
        cmocka_unit_test(ids_are_never_renumbered),
        cmocka_unit_test(keys_add_power_and_leave_the_bus_out),
        cmocka_unit_test(any_event_can_have_another_id),
        cmocka_unit_test(wrong_events_are_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
