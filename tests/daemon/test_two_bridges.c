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

enum { TRIES = 20 };

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

/* By this port of the span's device to this feedback. */
static void reach(struct daemon_session *session, unsigned bus, unsigned port, unsigned feedback) {
    char request[48];
    char wait[48];
    snprintf(request, sizeof request, "SET %u GA 1 %u 1 -1", bus, port);
    snprintf(wait, sizeof wait, "WAIT %u FB %u 1 20", bus, feedback);
    daemon_reach(session, request, session, wait);
}

static int set_up(void **state) {
    struct stage *stage = calloc(1, sizeof *stage);
    daemon_start(&stage->yard, yard_config, "1");
    start(stage, stage->yard.port);
    reach(&stage->second, 2, 0, 5);
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
    reach(session, bus, 1, 4);
}

/* The first bridge goes on to its end. Returns whether nobody has heard of a fault of it since the
 * news were read last, and the other's was this one (NULL: whichever). A machine that is too busy
 * makes them late, as it must: then nothing is shown, and all is tried once more. */
static bool first_goes_on(struct stage *stage, const char *fault) {
    reach(&stage->first, 1, 1, 3);
    reach(&stage->first, 1, 0, 5);
    struct daemon_faults faults = daemon_read_faults(&stage->info, &stage->first);
    const char *own = faults.of[1];
    const char *others = faults.of[2];
    bool is_others = fault == NULL || strcmp(others, fault) == 0;
    assert_true(own[0] == '\0' || strcmp(own, "late") == 0);
    if (!is_others && others[0] != '\0') {
        daemon_expect_busy(others);
    }
    return own[0] == '\0' && is_others;
}

/* Lined again for the next. */
static void mend_second(struct stage *stage) {
    daemon_expect(&stage->second, "SET 0 GM 0 0 SIMULATE 2 fault all off", "200 OK");
    while (strncmp(daemon_ask(&stage->second, "SET 2 GA 1 4 1 -1"), "413 ", 4) == 0) {
        daemon_expect(&stage->second, "WAIT 2 FB 6 0 1", "417 ");
    }
    reach(&stage->second, 2, 0, 5);
    daemon_ask(&stage->second, "SET 2 POWER ON");
}

struct fault_case {
    const char *line, *fault;
};

static bool second_faults_alone(struct stage *stage, const struct fault_case *with) {
    start_raising(&stage->second, 2);
    start_raising(&stage->first, 1);
    daemon_read_faults(&stage->info, &stage->first); /* those on the way are none of this */
    daemon_expect(&stage->second, with->line, "200 OK");
    daemon_expect(&stage->second, "WAIT 2 FB 6 1 300", "100 INFO 2 FB 6 1");
    daemon_expect(&stage->second, "GET 2 FB 4", "100 INFO 2 FB 4 0");
    bool is_shown = first_goes_on(stage, with->fault);
    mend_second(stage);
    return is_shown;
}

static void fault_of_one_bridge_is_not_the_others(void **state) {
    static const struct fault_case cases[] = {
        {"SET 0 GM 0 0 SIMULATE 2 fault device-lost on", "device-lost"},
        {"SET 2 GA 1 3 1 -1", "emergency-stop"},
    };
    struct stage *stage = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        unsigned tries = 0;
        while (!second_faults_alone(stage, &cases[i])) {
            assert_true(++tries < TRIES);
        }
    }
}

static bool second_hangs_alone(struct stage *stage) {
    start_raising(&stage->second, 2);
    daemon_read_faults(&stage->info, &stage->first);
    assert_int_equal(kill(stage->yard.pid, SIGSTOP), 0);
    start_raising(&stage->first, 1);
    daemon_expect(&stage->second, "WAIT 2 FB 6 1 300", "100 INFO 2 FB 6 1");
    daemon_expect(&stage->second, "SET 2 GA 1 1 1 -1", "413 ");
    bool is_shown = first_goes_on(stage, "device-lost");
    assert_int_equal(kill(stage->yard.pid, SIGCONT), 0);
    return is_shown;
}

static void hung_device_of_one_bridge_holds_up_no_other(void **state) {
    struct stage *stage = *state;
    unsigned tries = 0;
    while (!second_hangs_alone(stage)) {
        assert_true(++tries < TRIES);
        mend_second(stage);
    }
}

/* A server that talks without end on both of the link's connections, and again when it comes back.
 */
static bool second_is_flooded_alone(void) {
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
    bool is_shown = first_goes_on(stage, NULL);
    stop(stage);
    tool_server_finish(&server);
    return is_shown;
}

static void flooding_device_of_one_bridge_holds_up_no_other(void **state) {
    (void)state;
    unsigned tries = 0;
    while (!second_is_flooded_alone()) {
        assert_true(++tries < TRIES);
    }
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
