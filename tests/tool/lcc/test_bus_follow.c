/* The verb follow with --lcc: at a listener that says what a test tells it to, and at a daemon. */
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/daemon/daemon.h"
#include "support/daemon/daemon_config.h"
#include "support/lcc/daemon_lcc.h"
#include "support/tool/tool_dialogue.h"
#include "support/tool/tool_run.h"

#include <cjson/cJSON.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char path[DAEMON_CONFIG_PATH];

static int write_node(void **state) {
    (void)state;
    cJSON *tree = daemon_config_read("quiet-bridge.json");
    config_text_patch(tree, "/lcc", "{\"listen\": [{}]}");
    config_text_patch(tree, "/bridges/0/lcc", "{\"node\": \"0A.44.52.00.00.01\"}");
    daemon_config_write(tree, "follow-lcc", path);
    return 0;
}

static int remove_it(void **state) {
    (void)state;
    return unlink(path);
}

/* Plays the script to a run that follows it; `words` come after the port. */
static struct tool_run follow(const struct tool_server_step *script, const char *words) {
    struct tool_server server;
    struct tool_run run = {0};
    char arguments[DAEMON_CONFIG_PATH + 96];
    tool_server_start(&server, script);
    snprintf(arguments, sizeof arguments, "follow --lcc 127.0.0.1:%u%s", server.port, words);
    tool_run_words(&run, arguments);
    assert_true(tool_server_finish(&server));
    return run;
}

/* However they are cut, and with what is no frame between them. */
static const struct tool_server_step moving[] = {
    {FAKE_ACCEPT, 0, NULL},
    {FAKE_SEND, 0, ":X195B44F7N0A44520000010002;\n:X1910"},
    {FAKE_SEND, 0, "04F7N0A4452000001;\r\n:S07FEN;:X1;\033[2J:X195B44F7N0A44"},
    {FAKE_SEND, 0, "520000010002;"},
    {FAKE_CLOSE, 0, NULL},
    {0}};

static void each_frame_is_a_line(void **state) {
    (void)state;
    struct tool_run run = follow(moving, "");
    tool_run_says(run.out, "  4F7  -                  Event Report 0A.44.52.00.00.01.00.02\n");
    tool_run_says(run.out, "  4F7  0A.44.52.00.00.01  Initialization Complete 0A.44.52.00.00.01\n");
    tool_run_says(run.out, "  4F7  0A.44.52.00.00.01  Event Report 0A.44.52.00.00.01.00.02\n");
    unsigned lines = 0;
    for (const char *at = run.out; (at = strchr(at, '\n')) != NULL; at++) {
        lines++;
    }
    assert_int_equal(lines, 3);
    tool_run_ends(run, OUTCOME_UNREACHABLE, "", "closed the connection");
}

static void events_are_called_as_the_configuration_does(void **state) {
    (void)state;
    char words[DAEMON_CONFIG_PATH + 2];
    snprintf(words, sizeof words, " %s", path);
    tool_run_ends(follow(moving, words), OUTCOME_UNREACHABLE,
                  "Event Report 0A.44.52.00.00.01.00.02 (Kettle Narrows: moving)\n", "closed");
}

static void check_text(const cJSON *object, const char *key, const char *text) {
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(object, key);
    assert_non_null(item);
    if (text == NULL) {
        assert_true(cJSON_IsNull(item));
    } else {
        assert_string_equal(cJSON_GetStringValue(item), text);
    }
}

static void an_object_a_line_has_all_of_a_frame(void **state) {
    (void)state;
    const struct tool_server_step script[] = {
        {FAKE_ACCEPT, 0, NULL},
        {FAKE_SEND, 0, ":X191704F7N0A4452000001;:X195B44F7N0A44520000010002;"},
        {FAKE_SEND, 0, ":X1B34C4F7N2051000000100A44;:X1D34C4F7N520000010100;"},
        {FAKE_CLOSE, 0, NULL},
        {0}};
    char words[DAEMON_CONFIG_PATH + 16];
    snprintf(words, sizeof words, " %s --json", path);
    struct tool_run run = follow(script, words);
    cJSON *object[4];
    const char *at = run.out;
    for (unsigned i = 0; i < 4; i++) {
        object[i] = cJSON_ParseWithOpts(at, &at, false);
        assert_non_null(object[i]);
        assert_int_equal(*at++, '\n');
        assert_true(cJSON_IsNumber(cJSON_GetObjectItemCaseSensitive(object[i], "time")));
        check_text(object[i], "event", "frame");
        check_text(object[i], "alias", "4F7");
        check_text(object[i], "node", "0A.44.52.00.00.01");
    }
    assert_int_equal(*at, '\0');
    check_text(object[1], "frame", ":X195B44F7N0A44520000010002;");
    check_text(object[1], "kind", "Event Report");
    check_text(object[1], "id", "0A.44.52.00.00.01.00.02");
    check_text(object[1], "name", "Kettle Narrows: moving");
    check_text(object[1], "to", NULL);
    check_text(object[1], "part", NULL);
    check_text(object[2], "part", "first");
    check_text(object[2], "content", NULL);
    check_text(object[3], "to", "34C");
    check_text(object[3], "to_node", NULL);
    check_text(object[3], "part", "last");
    check_text(object[3], "kind", "Datagram");
    check_text(object[3], "content", "2051000000100A44520000010100");
    for (unsigned i = 0; i < 4; i++) {
        cJSON_Delete(object[i]);
    }
    tool_run_ends(run, OUTCOME_UNREACHABLE, "", "closed");
}

/* Whatever it is asked. */
static void it_sends_nothing(void **state) {
    (void)state;
    const struct tool_server_step asking[] = {
        {FAKE_ACCEPT, 0, NULL},
        {FAKE_SEND, 0, ":X170504F7N;:X1070234CN;:X1949034CN;:X1997034CN;"},
        {FAKE_HUSH, 0, NULL},
        {0}};
    tool_run_ends(follow(asking, ""), OUTCOME_UNREACHABLE, "Identify Events\n", "closed");
}

static void an_interrupt_and_the_limit_end_it(void **state) {
    (void)state;
    const struct tool_server_step interrupted[] = {
        {FAKE_ACCEPT, 0, NULL}, {FAKE_INTERRUPT, 0, NULL}, {FAKE_GONE, 0, NULL}, {0}};
    tool_run_ends(follow(interrupted, ""), OUTCOME_INTERRUPTED, "", "interrupted");
    const struct tool_server_step silent[] = {{FAKE_ACCEPT, 0, NULL}, {FAKE_GONE, 0, NULL}, {0}};
    tool_run_ends(follow(silent, " --limit 10ms"), OUTCOME_DONE, "", "");
}

static void what_cannot_be_followed_is_told(void **state) {
    (void)state;
    struct tool_server server; /* gone again */
    const struct tool_server_step nothing[] = {{0}};
    tool_server_start(&server, nothing);
    assert_true(tool_server_finish(&server));
    char words[64];
    struct tool_run run = {0};
    snprintf(words, sizeof words, "follow --lcc %u", server.port);
    tool_run_words(&run, words);
    tool_run_ends(run, OUTCOME_UNREACHABLE, "", "no server at 127.0.0.1");
    struct tool_run wrong = {0};
    tool_run_words(&wrong, "follow --lcc 12021 " SOURCE_DIR "/README.md");
    tool_run_ends(wrong, OUTCOME_CONFIGURATION, "", "README.md");
}

static void a_daemon_is_followed_until_it_is_interrupted(void **state) {
    (void)state;
    static struct daemon_run daemon;
    static struct tool_dialogue tool;
    static struct daemon_node node;
    daemon_start(&daemon, path, "50");
    uint16_t port = daemon_lcc_port(&daemon);
    char words[DAEMON_CONFIG_PATH + 64];
    snprintf(words, sizeof words, "follow --lcc %u %s", port, path);
    tool_dialogue_begin(&tool, words, daemon.port);
    while (strstr(daemon.tail, " is up") == NULL) { /* it is connected */
        assert_true(daemon_read_log(&daemon));
    }
    daemon_lcc_connect(&node, port);
    daemon_lcc_send(&node, ":X1949034CN;:X1991434CN0A44520000010000;");
    tool_dialogue_expect(&tool, "  34C  -                  Verify Node ID\n");
    tool_dialogue_expect(&tool, "  Identify Producer 0A.44.52.00.00.01.00.00 (Kettle Narrows: "
                                "lined)\n");
    daemon_lcc_send(&node, ":X1997034CN;"); /* once its node is there it has told all */
    daemon_lcc_await(&node, "194C7", "N010000000000FFFF;");
    daemon_lcc_send(&node, ":X1949034CN;");
    tool_dialogue_expect(&tool, "  0A.44.52.00.00.01  Verified Node ID 0A.44.52.00.00.01\n");
    assert_int_equal(kill(tool.pid, SIGINT), 0);
    assert_int_equal(tool_dialogue_end(&tool), OUTCOME_INTERRUPTED);
    daemon_lcc_disconnect(&node);
    daemon_end(&daemon, SIGTERM);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_frame_is_a_line),
        cmocka_unit_test(events_are_called_as_the_configuration_does),
        cmocka_unit_test(an_object_a_line_has_all_of_a_frame),
        cmocka_unit_test(it_sends_nothing),
        cmocka_unit_test(an_interrupt_and_the_limit_end_it),
        cmocka_unit_test(what_cannot_be_followed_is_told),
        cmocka_unit_test(a_daemon_is_followed_until_it_is_interrupted),
    };
    return cmocka_run_group_tests(tests, write_node, remove_it);
}
