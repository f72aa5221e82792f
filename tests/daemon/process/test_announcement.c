/* The service file for avahi: what others can reach, and nothing else. */
#include "process/announcement.h"
#include "support/check.h"

#include <stdlib.h>
#include <string.h>

static struct config config;

static int clear(void **state) {
    (void)state;
    memset(&config, 0, sizeof config);
    config.net.bridges = 1;
    snprintf(config.net.bridge[0].name, NET_NAME_SIZE, "Marsh & Harbor <7>");
    return 0;
}

static char *printed(bool is_expected) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    assert_non_null(out);
    assert_int_equal(announcement_print(out, &config), is_expected);
    fclose(out);
    return text;
}

static void has(const char *text, const char *part) {
    if (strstr(text, part) == NULL) {
        fail_msg("no %s in\n%s", part, text);
    }
}

static void what_stays_on_this_machine_is_not_announced(void **state) {
    (void)state;
    config.net.listeners = 2;
    snprintf(config.net.listener[0].address, sizeof config.net.listener[0].address, "127.0.0.1");
    snprintf(config.net.listener[1].address, sizeof config.net.listener[1].address, "/run/bridge");
    config.panel.listeners = 1;
    snprintf(config.panel.listener[0].address, PANEL_ADDRESS_SIZE, "::1");
    char *text = printed(false);
    assert_string_equal(text, "");
    free(text);
}

static void each_open_listener_is_a_service_with_its_port(void **state) {
    (void)state;
    config.net.listeners = 2;
    snprintf(config.net.listener[0].address, sizeof config.net.listener[0].address, "127.0.0.1");
    config.net.listener[0].port = 4303;
    snprintf(config.net.listener[1].address, sizeof config.net.listener[1].address, "0.0.0.0");
    config.net.listener[1].port = 4305;
    config.panel.listeners = 1;
    snprintf(config.panel.listener[0].address, PANEL_ADDRESS_SIZE, "192.168.7.2");
    config.panel.listener[0].port = 4380;
    config.lcc.listeners = 1;
    snprintf(config.lcc.listener[0].address, sizeof config.lcc.listener[0].address, "::");
    config.lcc.listener[0].port = 12021;
    char *text = printed(true);
    has(text, "<name replace-wildcards=\"yes\">Marsh &amp; Harbor &lt;7&gt; on %h</name>");
    has(text,
        "<type>_http._tcp</type>\n    <port>4380</port>\n    <txt-record>path=/</txt-record>");
    has(text, "<type>_srcp._tcp</type>\n    <port>4305</port>");
    has(text, "<type>_openlcb-can._tcp</type>\n    <port>12021</port>");
    assert_null(strstr(text, "4303"));
    has(text, "</service-group>\n");
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(what_stays_on_this_machine_is_not_announced, clear),
        cmocka_unit_test_setup(each_open_listener_is_a_service_with_its_port, clear),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
