/* Each bridge of the pages of answers set up on the simulator, from the first question to the last:
 * what commission asks fits whatever contacts and detectors there are. */
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/daemon/daemon.h"
#include "support/tool/tool_dialogue.h"
#include "support/tool/tool_run.h"
#include "tools/drawtender/outcome.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define FOLDER SOURCE_DIR "/tests/tool/describe/answers/"

static const char file[] = BINARY_DIR "/commissioned.json";
static const char answers[] = BINARY_DIR "/commissioned.answers";
static const char pace[] = "6"; /* the nudges are 70 ms long then: a slow machine must see them */

/* The configuration of a page of answers, simulated. */
static void describe(const char *kind) {
    char path[512];
    char words[1024];
    struct tool_run run = {0};
    snprintf(path, sizeof path, FOLDER "%s.answers", kind);
    char *text = config_text_of_file(path);
    FILE *out = fopen(answers, "w");
    assert_non_null(out);
    assert_true(fprintf(out, "%s\nwired: no\nwatch: no\n", text) > 0);
    assert_int_equal(fclose(out), 0);
    free(text);
    unlink(file);
    snprintf(words, sizeof words, "describe %s --answers %s", file, answers);
    tool_run_words(&run, words);
    tool_run_ends(run, OUTCOME_DONE, "", "");
}

struct stage {
    struct daemon_run daemon;
    struct daemon_session world, news;
    struct tool_dialogue tool;
};

/* Presses the key, one nudge after another, until the seated contact, the first, reads made. */
static void jog_to_seat(struct stage *stage) {
    while (strcmp(daemon_ask(&stage->world, "GET 1 FB 11"), "100 INFO 1 FB 11 1") != 0) {
        tool_dialogue_answer(&stage->tool, "d");
        daemon_read_until(&stage->news, "100 INFO 1 GA 1 6 1", NULL);
        daemon_read_until(&stage->news, "100 INFO 1 GA 1 6 0", NULL);
    }
    tool_dialogue_answer(&stage->tool, "\n");
}

enum { TO_SEAT, LAST, NO_MOVEMENT };
static const struct {
    const char *question, *reply;
} talk[] = {
    [TO_SEAT] = {"until you see it rest on its seat.", ""},
    [LAST] = {"Write it? (yes, no)", "no\n"},
    [NO_MOVEMENT] = {"the nudges did not lift the span off its seat", ""},
    {"all of this is true:", "\n"},
    {"that the span is seated? (yes, no)", "y\n"},
    {"seated and locked? (yes, no)", "y\n"},
    {": make it, keep it so and press Enter (s: skip):", "s\n"},
    {"releases the emergency stop; nothing moves yet:", "\n"},
    {"Type raise and Enter to unlock and raise it:", "raise\n"},
    {"no wagon? (yes):", "yes\n"},
    {"Enter: one nudge UP:", "\n"},
    {"Enter: one nudge DOWN:", "\n"},
    {"(up, down, none):", "up\n"},
    {"of the supply:", "\n"},
    {"Did it go up, by your own eyes? (yes, no)", NULL},
    {"Type raise and Enter to raise it all the way:", "raise\n"},
    {"until you see it fully open.", "\n"},
    {"Type lower and Enter to lower it all the way:", "lower\n"},
};

/* Answers everything, and this where eyes are asked whether the span rose. Returns the last that
 * was said. */
static size_t walk(struct stage *stage, const char *seen) {
    char words[256];
    const char *questions[COUNT(talk)];
    size_t asked;
    for (size_t i = 0; i < COUNT(talk); i++) {
        questions[i] = talk[i].question;
    }
    snprintf(words, sizeof words, "commission %s", file);
    tool_dialogue_begin(&stage->tool, words, stage->daemon.port);
    do {
        asked = tool_dialogue_any(&stage->tool, questions, COUNT(questions));
        if (asked == TO_SEAT) {
            jog_to_seat(stage);
        } else {
            tool_dialogue_answer(&stage->tool,
                                 talk[asked].reply != NULL ? talk[asked].reply : seen);
        }
    } while (asked != LAST && asked != NO_MOVEMENT);
    return asked;
}

static struct stage *begin(const char *kind) {
    struct stage *stage = calloc(1, sizeof *stage);
    describe(kind);
    daemon_start(&stage->daemon, file, pace);
    daemon_connect(&stage->daemon, &stage->world, "COMMAND");
    daemon_connect(&stage->daemon, &stage->news, "INFO");
    return stage;
}

static void end(struct stage *stage) {
    daemon_disconnect(&stage->world);
    daemon_disconnect(&stage->news);
    daemon_end(&stage->daemon, SIGTERM);
    free(stage);
}

static const struct expected {
    const char *kind;
    const char *says[3];
    const char *never; /* or NULL */
} rows[] = {
    {"bar",
     {"  locked: no contact; the bridge believes it by time", "  withdrawn: no contact;",
      "waits for someone to report the span seen clear"},
     "locked: make it"},
    {"first", {"that the span is seated? (yes, no)", "open: make it"}, "locked: make it"},
    {"sector", {"no wagon? (yes):", "open: make it"}, "locked: make it"},
    {"strut", {"seated: make it"}, NULL},
    {"rolling", {"seated: make it"}, NULL},
    {"vertical", {"seated: make it"}, NULL},
    {"swing", {"seated: make it"}, NULL},
};

static void each_described_bridge_can_be_set_up(void **state) {
    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        const struct expected *row = &rows[i];
        struct stage *stage = begin(row->kind);
        assert_int_equal(walk(stage, "yes\n"), LAST);
        assert_int_equal(tool_dialogue_end(&stage->tool), OUTCOME_DONE);
        for (size_t s = 0; s < COUNT(row->says) && row->says[s] != NULL; s++) {
            tool_run_says(stage->tool.said, row->says[s]);
        }
        if (row->never != NULL && strstr(stage->tool.said, row->never) != NULL) {
            fail_msg("%s: \"%s\" was said", row->kind, row->never);
        }
        assert_null(strstr(stage->tool.said, "and should read"));
        assert_null(strstr(stage->tool.said, "nan"));
        end(stage);
    }
}

/* No position sensor, and eyes that see no movement: the bridge's own watch ends it, and back on
 * its seat it is lined. */
static void a_span_that_nobody_sees_rise_ends_the_nudges(void **state) {
    (void)state;
    struct stage *stage = begin("first");
    daemon_expect(&stage->world, "SET 0 GM 0 0 SIMULATE 1 fault motor-open on", "200 OK");
    assert_int_equal(walk(stage, "no\n"), NO_MOVEMENT);
    assert_int_equal(tool_dialogue_end(&stage->tool), OUTCOME_REFUSED);
    tool_run_says(stage->tool.said, "stopped by the bridge: ");
    tool_run_says(stage->tool.said, "(simulated: there is nothing to see; answer yes)");
    tool_run_says(stage->tool.said, "look at motor, supply, driver and gears");
    end(stage);
}

static int remove_files(void **state) {
    (void)state;
    unlink(file);
    unlink(answers);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_described_bridge_can_be_set_up),
        cmocka_unit_test(a_span_that_nobody_sees_rise_ends_the_nudges),
    };
    return cmocka_run_group_tests(tests, NULL, remove_files);
}
