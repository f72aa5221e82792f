/* The list of a node's events, to hand to a neighbour. */
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/daemon/daemon_config.h"
#include "support/tool/tool_run.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char path[DAEMON_CONFIG_PATH];

static int write_node(void **state) {
    (void)state;
    cJSON *tree = daemon_config_read("quiet-bridge.json");
    config_text_patch(tree, "/lcc", "{\"listen\": [{}]}");
    config_text_patch(tree, "/bridges/0/lcc",
                      "{\"node\": \"0A.44.52.00.00.01\", \"events\": [{\"event\": \"raise\", "
                      "\"id\": \"05.01.01.01.A2.07.00.01\"}]}");
    daemon_config_write(tree, "events", path);
    return 0;
}

static int remove_it(void **state) {
    (void)state;
    return unlink(path);
}

static struct tool_run run(const char *options) {
    char words[DAEMON_CONFIG_PATH + 64];
    struct tool_run run = {0};
    snprintf(words, sizeof words, "events %s%s", path, options);
    tool_run_words(&run, words);
    return run;
}

static void events_are_listed_by_name_and_id(void **state) {
    (void)state;
    struct tool_run csv = run(" --csv");
    tool_run_says(csv.out, "bridge,event,use,id\r\n");
    tool_run_says(csv.out, "Kettle Narrows,lined,told,0A.44.52.00.00.01.00.00\r\n");
    tool_run_says(csv.out, "Kettle Narrows,not lined,told,0A.44.52.00.00.01.00.01\r\n");
    tool_run_says(csv.out, "Kettle Narrows,raise,heard,05.01.01.01.A2.07.00.01\r\n");
    tool_run_says(csv.out, "Kettle Narrows,emergency stop of the bus,heard,"
                           "01.00.00.00.00.00.FF.FD\r\n");
    assert_int_equal(csv.outcome, OUTCOME_DONE);
    tool_run_free(&csv);
    tool_run_ends(run(""), OUTCOME_DONE, "0A.44.52.00.00.01.00.00", "");
    tool_run_ends(run(" --json"), OUTCOME_DONE, "\"id\":", "");
}

static void a_configuration_without_a_node_is_told(void **state) {
    (void)state;
    struct tool_run none = {0};
    tool_run_words(&none, "events " SOURCE_DIR "/config/garden-gate.json");
    tool_run_ends(none, OUTCOME_CONFIGURATION, "", "no bridge is a node of LCC");
    struct tool_run wrong = {0};
    tool_run_words(&wrong, "events " SOURCE_DIR "/README.md");
    tool_run_ends(wrong, OUTCOME_CONFIGURATION, "", "README.md");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(events_are_listed_by_name_and_id, write_node, remove_it),
        cmocka_unit_test(a_configuration_without_a_node_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
