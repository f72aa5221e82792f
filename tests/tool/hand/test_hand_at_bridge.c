/* The verb hand at a terminal and at a pipe, against the daemon itself. The test presses its key
 * again and again, as a keyboard does; a machine that is slow lets a run lapse, and the next press
 * begins it anew. */
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/daemon/daemon.h"
#include "support/daemon/daemon_config.h"
#include "support/tool/tool_dialogue.h"
#include "support/tool/tool_run.h"

#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { REPEAT_MS = 40 };

struct stage {
    struct daemon_run daemon;
    struct tool_dialogue hand;
    char config[DAEMON_CONFIG_PATH];
};

/* Half a second of a hand is layout time, so the pace is hardly more than 1; but at any that is
 * more layout time waits for a loop that is late on a busy machine, which is no fault then. */
static const char pace[] = "1.1";

/* Trains are far and the warning is short. */
static void write_config(char path[DAEMON_CONFIG_PATH]) {
    cJSON *tree = daemon_config_read("quiet-bridge.json");
    cJSON *track = cJSON_GetArrayItem(cJSON_GetObjectItem(daemon_config_bridge(tree), "tracks"), 0);
    cJSON_DeleteItemFromObject(track, "trains");
    config_text_patch(tree, "/bridges/0/warning",
                      "{\"least\": \"0 s\", \"short blast\": \"100 ms\", \"prolonged blast\": "
                      "\"500 ms\", \"gap\": \"100 ms\"}");
    config_text_patch(tree, "/bridges/0/timing", "{\"clear delay\": \"0 s\"}");
    config_text_patch(tree, "/bridges/0/tracks/0/ends/0/approach lock", "\"100 ms\"");
    config_text_patch(tree, "/bridges/0/tracks/0/ends/1/approach lock", "\"100 ms\"");
    daemon_config_write(tree, "hand", path);
}

static int set_up(void **state) {
    struct stage *stage = calloc(1, sizeof *stage);
    write_config(stage->config);
    daemon_start(&stage->daemon, stage->config, pace);
    *state = stage;
    return 0;
}

static int tear_down(void **state) {
    struct stage *stage = *state;
    daemon_end(&stage->daemon, SIGTERM);
    unlink(stage->config);
    free(stage);
    return 0;
}

static void check(const struct stage *stage, const char *words, const char *out) {
    struct tool_run run = {.port = stage->daemon.port};
    tool_run_words(&run, words);
    tool_run_ends(run, OUTCOME_DONE, out, "");
}

static void begin(struct stage *stage) {
    check(stage, "wait lined", "");
    tool_dialogue_begin_at_terminal(&stage->hand, "hand", stage->daemon.port);
    tool_dialogue_expect(&stage->hand, "THE SPAN MOVES while you hold a key");
    tool_dialogue_expect(&stage->hand, "at rest");
}

/* Presses until it says this. */
static void press_until(struct tool_dialogue *hand, const char *bytes, const char *words) {
    while (strstr(hand->said + hand->seen, words) == NULL) {
        struct pollfd polled = {.fd = hand->from, .events = POLLIN};
        tool_dialogue_answer(hand, bytes);
        if (poll(&polled, 1, REPEAT_MS) == 1) {
            ssize_t got =
                read(hand->from, hand->said + hand->filled, sizeof hand->said - 1 - hand->filled);
            assert_true(got > 0);
            hand->filled += (size_t)got;
            hand->said[hand->filled] = '\0';
        }
    }
    tool_dialogue_expect(hand, words);
}

static void a_held_key_runs_the_span_and_letting_go_rests_it(void **state) {
    struct stage *stage = *state;
    begin(stage);
    press_until(&stage->hand, "\033[A", "contact nearly-seated"); /* off its seat */
    tool_dialogue_expect(&stage->hand, "held");
    press_until(&stage->hand, "\033[B", "seating");
    tool_dialogue_answer(&stage->hand, "q");
    tool_dialogue_expect(&stage->hand, "let go; the bridge is ");
    assert_int_equal(tool_dialogue_end(&stage->hand), OUTCOME_DONE);
}

static void ctrl_c_lets_go(void **state) {
    struct stage *stage = *state;
    begin(stage);
    press_until(&stage->hand, "u", "raising");
    tool_dialogue_answer(&stage->hand, "u\003");
    tool_dialogue_expect(&stage->hand, "interrupted: let go; the bridge is held");
    assert_int_equal(tool_dialogue_end(&stage->hand), OUTCOME_INTERRUPTED);
    check(stage, "state", "phase      held\n");
}

/* The tool cannot say any more how it ends: the bridge does. */
static void a_terminal_that_goes_away_lets_go(void **state) {
    struct stage *stage = *state;
    begin(stage);
    press_until(&stage->hand, "u", "raising");
    close(stage->hand.from);
    check(stage, "wait held", "");
}

static void a_tool_that_is_killed_lets_go(void **state) {
    struct stage *stage = *state;
    begin(stage);
    press_until(&stage->hand, "u", "raising");
    tool_dialogue_answer(&stage->hand, "u");
    kill(stage->hand.pid, SIGKILL);
    tool_dialogue_end(&stage->hand);
    check(stage, "wait held", "");
}

static void a_lost_daemon_is_said(void **state) {
    struct stage *stage = *state;
    begin(stage);
    press_until(&stage->hand, "u", "raising");
    daemon_end(&stage->daemon, SIGKILL);
    tool_dialogue_expect(&stage->hand, "the bridge holds the span by itself");
    assert_int_equal(tool_dialogue_end(&stage->hand), OUTCOME_UNREACHABLE);
    daemon_start(&stage->daemon, stage->config, pace);
}

static void a_stop_by_another_is_not_overruled(void **state) {
    struct stage *stage = *state;
    begin(stage);
    press_until(&stage->hand, "u", "raising");
    check(stage, "emergency-stop", "latched");
    press_until(&stage->hand, "u", "emergency stop");
    check(stage, "wait fault", "");
    tool_dialogue_answer(&stage->hand, "q");
    tool_dialogue_expect(&stage->hand, "let go; the bridge is fault");
    assert_int_equal(tool_dialogue_end(&stage->hand), OUTCOME_DONE);
}

static void lines_of_a_pipe_run_it_as_long_as_they_come(void **state) {
    struct stage *stage = *state;
    check(stage, "wait lined", "");
    tool_dialogue_begin(&stage->hand, "hand --voltage", stage->daemon.port);
    press_until(&stage->hand, "up 90\n", "raising: contact nearly-seated");
    tool_dialogue_expect(&stage->hand, "held: at rest");
    press_until(&stage->hand, "down 90\n", "seating: ");
    assert_int_equal(tool_dialogue_end(&stage->hand), OUTCOME_DONE); /* the end of its input */
    check(stage, "wait held", "");
}

static void a_wrong_line_ends_it(void **state) {
    struct stage *stage = *state;
    check(stage, "wait lined", "");
    tool_dialogue_begin(&stage->hand, "hand", stage->daemon.port);
    press_until(&stage->hand, "up 90\n", "raising: ");
    tool_dialogue_answer(&stage->hand, "up 90\nup much\n");
    tool_dialogue_expect(&stage->hand, "line 'up much': wanted");
    assert_int_equal(tool_dialogue_end(&stage->hand), OUTCOME_USAGE);
    check(stage, "wait held", "");
}

static void a_refusal_ends_a_script(void **state) {
    struct stage *stage = *state;
    check(stage, "wait lined", "");
    check(stage, "emergency-stop", "latched");
    tool_dialogue_begin(&stage->hand, "hand", stage->daemon.port);
    tool_dialogue_answer(&stage->hand, "up 50\n");
    tool_dialogue_expect(&stage->hand, "a fault is latched");
    assert_int_equal(tool_dialogue_end(&stage->hand), OUTCOME_FAULT);
}

int main(void) {
#define AT_BRIDGE(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        AT_BRIDGE(a_held_key_runs_the_span_and_letting_go_rests_it),
        AT_BRIDGE(ctrl_c_lets_go),
        AT_BRIDGE(a_terminal_that_goes_away_lets_go),
        AT_BRIDGE(a_tool_that_is_killed_lets_go),
        AT_BRIDGE(a_lost_daemon_is_said),
        AT_BRIDGE(a_stop_by_another_is_not_overruled),
        AT_BRIDGE(lines_of_a_pipe_run_it_as_long_as_they_come),
        AT_BRIDGE(a_wrong_line_ends_it),
        AT_BRIDGE(a_refusal_ends_a_script),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
