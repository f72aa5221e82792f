/* Two bridges in one daemon, in real time: what befalls the one, its device that hangs or floods
 * included, is nothing to the other, which opens and closes meanwhile. The second one's signals and
 * detectors are on another server. */
#include "support/check.h"
#include "support/daemon/daemon.h"
#include "support/daemon/daemon_config.h"
#include "support/tool/tool_server.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char yard_config[] = SOURCE_DIR "/tests/daemon/yard.json";

struct stage {
    struct daemon_run yard, run;
    struct daemon_session first, second, info; /* first and second: one for each bridge */
};

/* Kettle Narrows on bus 1, all simulated; Otter Cut on bus 2, the same with its link. */
static void start(struct stage *stage, unsigned link_port) {
    char path[DAEMON_CONFIG_PATH];
    cJSON *tree = daemon_config_read("linked-bridge.json");
    cJSON *first = daemon_config_bridge(tree);
    cJSON *second = cJSON_Duplicate(first, true);
    cJSON_DeleteItemFromObject(first, "links");
    cJSON_DeleteItemFromObject(first, "lines");
    cJSON_SetValuestring(cJSON_GetObjectItem(second, "name"), "Otter Cut");
    cJSON_SetNumberValue(cJSON_GetObjectItem(second, "bus"), 2);
    cJSON_AddItemToArray(cJSON_GetObjectItem(tree, "bridges"), second);
    daemon_config_link_to(second, link_port);
    daemon_config_write(tree, "two-bridges", path);
    daemon_start(&stage->run, path, "1");
    remove(path);
    daemon_connect(&stage->run, &stage->first, "COMMAND");
    daemon_connect(&stage->run, &stage->second, "COMMAND");
    daemon_connect(&stage->run, &stage->info, "INFO");
    daemon_expect(&stage->first, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
}

static void stop(struct stage *stage) {
    daemon_disconnect(&stage->first);
    daemon_disconnect(&stage->second);
    daemon_disconnect(&stage->info);
    daemon_end(&stage->run, SIGTERM);
    free(stage);
}

static int set_up(void **state) {
    struct stage *stage = calloc(1, sizeof *stage);
    daemon_start(&stage->yard, yard_config, "1");
    start(stage, stage->yard.port);
    daemon_expect(&stage->second, "WAIT 2 FB 5 1 300", "100 INFO 2 FB 5 1");
    *state = stage;
    return 0;
}

static int tear_down(void **state) {
    struct stage *stage = *state;
    daemon_end(&stage->yard, SIGKILL);
    stop(stage);
    return 0;
}

static void start_raising(struct daemon_session *session, unsigned bus) {
    char line[64];
    char reply[64];
    snprintf(line, sizeof line, "SET %u GA 1 1 1 -1", bus);
    daemon_expect(session, line, "200 OK");
    snprintf(line, sizeof line, "WAIT %u FB 4 1 60", bus);
    snprintf(reply, sizeof reply, "100 INFO %u FB 4 1", bus);
    daemon_expect(session, line, reply);
}

/* The first bridge goes on to its end, and nobody has heard of a fault of it. */
static void first_goes_on(struct stage *stage) {
    daemon_expect(&stage->first, "WAIT 1 FB 3 1 300", "100 INFO 1 FB 3 1");
    daemon_expect(&stage->first, "SET 1 GA 1 0 1 -1", "200 OK");
    daemon_expect(&stage->first, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_expect(&stage->first, "SET 0 GM 0 0 MARK", "200 OK");
    daemon_read_until(&stage->info, "100 INFO 0 GM 0 0 MARK", "100 INFO 0 GM 0 0 FAULT 1");
}

static void fault_of_one_bridge_is_not_the_others(void **state) {
    static const struct {
        const char *line, *fault;
    } cases[] = {
        {"SET 0 GM 0 0 SIMULATE 2 fault device-lost on", "100 INFO 0 GM 0 0 FAULT 2 device-lost"},
        {"SET 2 GA 1 3 1 -1", "100 INFO 0 GM 0 0 FAULT 2 emergency-stop"},
    };
    struct stage *stage = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        start_raising(&stage->second, 2);
        start_raising(&stage->first, 1);
        daemon_expect(&stage->second, cases[i].line, "200 OK");
        daemon_read_until(&stage->info, cases[i].fault, "100 INFO 0 GM 0 0 FAULT 1");
        daemon_expect(&stage->second, "GET 2 FB 4", "100 INFO 2 FB 4 0");
        first_goes_on(stage);
        /* Mended, and lined again for the next. */
        daemon_expect(&stage->second, "SET 0 GM 0 0 SIMULATE 2 fault all off", "200 OK");
        while (strncmp(daemon_ask(&stage->second, "SET 2 GA 1 4 1 -1"), "413 ", 4) == 0) {
            daemon_expect(&stage->second, "WAIT 2 FB 6 0 1", "417 ");
        }
        daemon_expect(&stage->second, "SET 2 GA 1 0 1 -1", "200 OK");
        daemon_expect(&stage->second, "WAIT 2 FB 5 1 300", "100 INFO 2 FB 5 1");
        daemon_ask(&stage->second, "SET 2 POWER ON");
    }
}

static void hung_device_of_one_bridge_holds_up_no_other(void **state) {
    struct stage *stage = *state;
    start_raising(&stage->second, 2);
    assert_int_equal(kill(stage->yard.pid, SIGSTOP), 0);
    start_raising(&stage->first, 1);
    daemon_read_until(&stage->info, "100 INFO 0 GM 0 0 FAULT 2 device-lost",
                      "100 INFO 0 GM 0 0 FAULT 1");
    daemon_expect(&stage->second, "SET 2 GA 1 1 1 -1", "413 ");
    first_goes_on(stage);
}

/* A server that talks without end on both of the link's connections, and again when it comes back.
 */
static void flooding_device_of_one_bridge_holds_up_no_other(void **state) {
    (void)state;
#define FLOOD(connection)                                                                          \
    {FAKE_ACCEPT, connection, NULL}, {                                                             \
        FAKE_FLOOD, connection, "1.000 100 INFO 1 FB 101 0\n1.000 100 INFO 1 FB 101 1\n"           \
    }
    static const struct tool_server_step script[] = {
        FLOOD(0), FLOOD(1), FLOOD(2), FLOOD(3), {FAKE_END, 0, NULL}};
    struct stage *stage = calloc(1, sizeof *stage);
    struct tool_server server;
    tool_server_start(&server, script);
    start(stage, server.port);
    start_raising(&stage->first, 1);
    daemon_expect(&stage->second, "SET 2 GA 1 1 1 -1", "413 ");
    first_goes_on(stage);
    stop(stage);
    tool_server_finish(&server);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(fault_of_one_bridge_is_not_the_others, set_up, tear_down),
        cmocka_unit_test_setup_teardown(hung_device_of_one_bridge_holds_up_no_other, set_up,
                                        tear_down),
        cmocka_unit_test(flooding_device_of_one_bridge_holds_up_no_other),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
