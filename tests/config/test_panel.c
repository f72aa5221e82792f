/* Panels in a configuration: every mistake, with its place. */
#include "config/config.h"
#include "support/check.h"

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct config config;
static struct config_report report;

/* The demo with these panels. */
static bool read_panels(const char *panels) {
    size_t length;
    const char *demo = config_demo_text(&length);
    cJSON *tree = cJSON_ParseWithLength(demo, length);
    cJSON *server = cJSON_GetObjectItemCaseSensitive(tree, "server");
    cJSON_DeleteItemFromObject(server, "panels");
    if (panels != NULL) {
        cJSON *list = cJSON_Parse(panels);
        assert_non_null(list);
        cJSON_AddItemToObject(server, "panels", list);
    }
    char *text = cJSON_PrintUnformatted(tree);
    bool is_usable = config_read_text(text, strlen(text), &config, &report);
    cJSON_free(text);
    cJSON_Delete(tree);
    return is_usable;
}

static bool says(const struct config_list *list, const char *where, const char *what) {
    for (size_t i = 0; i < config_list_kept(list); i++) {
        if (strcmp(list->complaint[i].where, where) == 0 &&
            strstr(list->complaint[i].what, what) != NULL) {
            return true;
        }
    }
    return false;
}

static void without_panels_none_is_served(void **state) {
    (void)state;
    assert_true(read_panels(NULL));
    assert_int_equal(config.panel.listeners, 0);
    assert_true(read_panels("[]"));
    assert_int_equal(config.panel.listeners, 0);
}

static void a_panel_has_defaults(void **state) {
    (void)state;
    assert_true(read_panels("[{}]"));
    assert_int_equal(config.panel.listeners, 1);
    const struct panel_listener_setup *panel = &config.panel.listener[0];
    assert_string_equal(panel->address, "127.0.0.1");
    assert_int_equal(panel->port, 4380);
    assert_int_equal(panel->right, PANEL_OPERATE);
    assert_string_equal(panel->token_file, "");
    assert_int_equal(panel->clients_max, 128);
    assert_false(panel->is_behind_tls);
    assert_int_equal(report.warnings.count, 0);
}

static void a_tls_proxy_opens_nothing_by_itself(void **state) {
    (void)state;
    assert_true(read_panels("[{\"tls proxy\":true,\"token file\":\"/etc/drawtender/token\"}]"));
    assert_true(config.panel.listener[0].is_behind_tls);
    assert_int_equal(report.warnings.count, 0);
}

static void what_is_said_is_taken(void **state) {
    (void)state;
    assert_true(read_panels("[{\"address\":\"192.168.7.2\",\"port\":8080,\"may\":\"observe\","
                            "\"token file\":\"/etc/drawtender/token\",\"names\":\"tablet.local\","
                            "\"from\":\"192.168.7.0/24\",\"clients\":20}]"));
    const struct panel_listener_setup *panel = &config.panel.listener[0];
    assert_string_equal(panel->address, "192.168.7.2");
    assert_int_equal(panel->port, 8080);
    assert_int_equal(panel->right, PANEL_OBSERVE);
    assert_string_equal(panel->token_file, "/etc/drawtender/token");
    assert_string_equal(panel->names, "tablet.local");
    assert_int_equal(panel->networks, 1);
    assert_int_equal(panel->network[0].bits, 96 + 24);
    assert_int_equal(panel->clients_max, 20);
    assert_true(says(&report.warnings, "/server/panels/0/address", "nothing is encrypted"));
}

static void every_mistake_is_named_with_its_place(void **state) {
    (void)state;
    static const struct {
        const char *panels, *where, *what;
    } cases[] = {
        {"[{\"address\":\"192.168.7.2\"}]", "/server/panels/0/token file", "16 characters"},
        {"[{\"address\":\"0.0.0.0\",\"may\":\"observe\"}]", "/server/panels/0/token file",
         "16 characters"},
        {"[{\"address\":\"::\"}]", "/server/panels/0/token file", "16 characters"},
        {"[{\"tls proxy\":true}]", "/server/panels/0/token file", "other machines"},
        {"[{\"tls proxy\":true,\"token file\":\"/t\",\"address\":\"192.168.7.2\"}]",
         "/server/panels/0/address", "an address of this machine"},
        {"[{\"address\":\"localhost\"}]", "/server/panels/0/address", "numeric"},
        {"[{\"address\":\"/run/panel\"}]", "/server/panels/0/address", "numeric"},
        {"[{\"may\":\"administer\"}]", "/server/panels/0/may", "administer"},
        {"[{\"port\":0}]", "/server/panels/0/port", "1"},
        {"[{\"port\":4303}]", "/server/panels/0", "listener 0"},
        {"[{},{}]", "/server/panels/1", "panel 0"},
        {"[{\"from\":\"192.168.7.1/24\"}]", "/server/panels/0/from", "network"},
        {"[{\"names\":\"http://tablet\"}]", "/server/panels/0/names", "host names"},
        {"[{\"clients\":1}]", "/server/panels/0/clients", "2 to 1000"}, /* to see, and to ask */
        {"[{\"token\":\"secret\"}]", "/server/panels/0/token", "no key"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        bool is_usable = read_panels(cases[i].panels);
        if (is_usable || !says(&report.errors, cases[i].where, cases[i].what)) {
            fail_msg("%s: %s: %s", cases[i].panels, report.errors.complaint[0].where,
                     report.errors.complaint[0].what);
        }
        assert_int_equal(report.errors.count, 1);
    }
}

static void few_places_are_a_warning(void **state) {
    (void)state;
    static const char where[] = "/server/panels/0/clients";
    assert_true(read_panels("[{\"clients\":2}]"));
    assert_true(says(&report.warnings, where, "allow 8 or more"));
    assert_true(read_panels("[{\"clients\":8}]"));
    assert_false(says(&report.warnings, where, ""));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_panels_none_is_served),
        cmocka_unit_test(a_panel_has_defaults),
        cmocka_unit_test(a_tls_proxy_opens_nothing_by_itself),
        cmocka_unit_test(what_is_said_is_taken),
        cmocka_unit_test(few_places_are_a_warning),
        cmocka_unit_test(every_mistake_is_named_with_its_place),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
