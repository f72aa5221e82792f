/* The guided set-up against the daemon itself, on a simulated bridge that is wired wrong. */
#include "config/config.h"
#include "support/check.h"
#include "support/daemon/daemon.h"
#include "support/tool/tool_dialogue.h"
#include "tools/drawtender/base/file_text.h"
#include "tools/drawtender/outcome.h"

#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char bridge[] = SOURCE_DIR "/tests/daemon/quiet-bridge.json";
/* Not faster: see test_with_daemon.c. */
static const char pace[] = "20";

struct stage {
    struct daemon_run daemon;
    struct daemon_session world; /* the simulated one */
    struct daemon_session news;
    struct tool_dialogue tool;
    char file[64]; /* a copy of the configuration */
    char *text;    /* as it was */
};

static int start(void **state, const char *at_pace) {
    struct stage *stage = calloc(1, sizeof *stage);
    struct error error;
    daemon_start(&stage->daemon, bridge, at_pace);
    daemon_connect(&stage->daemon, &stage->world, "COMMAND");
    daemon_connect(&stage->daemon, &stage->news, "INFO");
    daemon_expect(&stage->world, "WAIT 1 FB 5 1 60", "100 INFO 1 FB 5 1");
    stage->text = file_text_read(bridge, &error);
    snprintf(stage->file, sizeof stage->file, "/tmp/drawtender-commission-%d.json", (int)getpid());
    assert_true(file_text_replace(stage->file, stage->text, &error));
    assert_int_equal(chmod(stage->file, 0600), 0);
    *state = stage;
    return 0;
}

static int set_up(void **state) {
    return start(state, pace);
}

/* For what is to be done while the span runs. */
static int set_up_slower(void **state) {
    return start(state, "8");
}

static int tear_down(void **state) {
    struct stage *stage = *state;
    daemon_disconnect(&stage->world);
    daemon_disconnect(&stage->news);
    daemon_end(&stage->daemon, SIGTERM);
    unlink(stage->file);
    free(stage->text);
    free(stage);
    return 0;
}

static void simulate(struct stage *stage, const char *words) {
    char line[160];
    snprintf(line, sizeof line, "SET 0 GM 0 0 SIMULATE 1 %s", words);
    daemon_expect(&stage->world, line, "200 OK");
}

static void answer(struct stage *stage, const char *question, const char *bytes) {
    tool_dialogue_expect(&stage->tool, question);
    tool_dialogue_answer(&stage->tool, bytes);
}

typedef void begin_dialogue(struct tool_dialogue *, const char *, uint16_t);

static void begin_with(struct stage *stage, begin_dialogue *begin_it) {
    char words[128];
    snprintf(words, sizeof words, "commission %s", stage->file);
    begin_it(&stage->tool, words, stage->daemon.port);
    tool_dialogue_expect(&stage->tool, "crush fingers");
    answer(stage, "all of this is true:", "\n");
    answer(stage, "seated and locked? (yes, no)", "y\n");
}

static void begin(struct stage *stage) {
    begin_with(stage, tool_dialogue_begin);
}

static void pass_over(struct stage *stage, const char *contact) {
    char question[64];
    snprintf(question, sizeof question, "%s: make it", contact);
    answer(stage, question, "s\n");
}

static void work(struct stage *stage, const char *contact) {
    char words[96];
    snprintf(words, sizeof words, "%s: make it", contact);
    tool_dialogue_expect(&stage->tool, words);
    snprintf(words, sizeof words, "contact %s by-hand made", contact);
    simulate(stage, words);
    tool_dialogue_answer(&stage->tool, "\n");
    snprintf(words, sizeof words, "%s: open it", contact);
    tool_dialogue_expect(&stage->tool, words);
    snprintf(words, sizeof words, "contact %s by-hand open", contact);
    simulate(stage, words);
    tool_dialogue_answer(&stage->tool, "\n");
    snprintf(words, sizeof words, "contact %s by-hand free", contact);
    tool_dialogue_expect(&stage->tool, ".\n");
    simulate(stage, words);
}

static const char *const contacts[] = {
    "seated", "nearly-seated", "nearly-open",  "open",   "within-travel",
    "locked", "withdrawn",     "stop-circuit", "rail-1", "rail-2"};
enum { CONTACTS = sizeof contacts / sizeof contacts[0] };

static void skip_contacts(struct stage *stage) {
    for (size_t i = 0; i < CONTACTS; i++) {
        pass_over(stage, contacts[i]);
    }
    answer(stage, "releases the emergency stop", "s\n"); /* one too many */
    tool_dialogue_expect(&stage->tool, "only Enter alone goes on");
    daemon_expect(&stage->world, "GET 1 FB 6", "100 INFO 1 FB 6 1"); /* still latched */
    answer(stage, "releases the emergency stop", "\n");
    tool_dialogue_expect(&stage->tool, "Step 2");
    answer(stage, "Type raise and Enter to unlock", "raise\n");
}

static void assert_file_is_as_it_was(struct stage *stage) {
    struct error error;
    char *text = file_text_read(stage->file, &error);
    assert_string_equal(text, stage->text);
    free(text);
}

/* Ended so, with these last words; the file as it was; the lift at rest. */
static void ends(struct stage *stage, enum outcome outcome, const char *words) {
    tool_dialogue_expect(&stage->tool, words);
    assert_int_equal(tool_dialogue_end(&stage->tool), outcome);
    daemon_expect(&stage->world, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    assert_file_is_as_it_was(stage);
}

static void wrong_polarity_is_noticed_and_named(void **state) {
    struct stage *stage = *state;
    simulate(stage, "fault contact-inverted nearly-open on");
    begin(stage);
    tool_dialogue_expect(&stage->tool, "nearly-open reads made, and should read open");
    for (size_t i = 0; i < CONTACTS; i++) {
        if (strcmp(contacts[i], "nearly-open") == 0) {
            work(stage, contacts[i]);
        } else {
            pass_over(stage, contacts[i]);
        }
    }
    assert_non_null(strstr(stage->tool.said, "  nearly-open: wrong polarity"));
    ends(stage, OUTCOME_REFUSED, "contacts to fix first: 1");
    daemon_expect(&stage->world, "GET 1 FB 6", "100 INFO 1 FB 6 1"); /* latched, and stays so */
}

static void swapped_contacts_are_noticed_and_named(void **state) {
    struct stage *stage = *state;
    simulate(stage, "fault contacts-swapped on");
    begin(stage);
    tool_dialogue_expect(&stage->tool, "seated reads open, and should read made");
    tool_dialogue_expect(&stage->tool, "open reads made, and should read open");
    for (size_t i = 0; i < CONTACTS; i++) {
        if (strcmp(contacts[i], "seated") == 0 || strcmp(contacts[i], "open") == 0) {
            work(stage, contacts[i]);
        } else {
            pass_over(stage, contacts[i]);
        }
    }
    assert_non_null(strstr(stage->tool.said, "  seated: swapped"));
    assert_non_null(strstr(stage->tool.said, "  open: swapped"));
    ends(stage, OUTCOME_REFUSED, "contacts to fix first: 2");
}

/* Answers each of the nudges with Enter until the tool says how the lift is. */
static void nudge(struct stage *stage, const char *finding) {
    while (tool_dialogue_either(&stage->tool, "Enter: one nudge", "  lift: ")) {
        tool_dialogue_answer(&stage->tool, "\n");
    }
    tool_dialogue_expect(&stage->tool, ".\n");
    assert_non_null(strstr(stage->tool.said, finding));
}

static void reversed_motor_is_noticed_and_named(void **state) {
    struct stage *stage = *state;
    simulate(stage, "fault motor-reversed on");
    begin(stage);
    skip_contacts(stage);
    nudge(stage, "  lift: the motor is reversed");
    ends(stage, OUTCOME_REFUSED, "fix the lift first: the motor is reversed");
    daemon_expect(&stage->world, "GET 1 GA 1 2", "100 INFO 1 GA 1 2 1"); /* held */
}

static void dead_current_sensor_is_noticed_and_named(void **state) {
    struct stage *stage = *state;
    simulate(stage, "fault current-dead on");
    begin(stage);
    skip_contacts(stage);
    nudge(stage, "  lift: dead current sensor");
    ends(stage, OUTCOME_REFUSED, "fix the lift first: dead current sensor");
}

static void leaving_holds_the_span_and_writes_nothing(void **state) {
    struct stage *stage = *state;
    begin(stage);
    skip_contacts(stage);
    answer(stage, "Enter: one nudge UP:", "q\n");
    ends(stage, OUTCOME_REFUSED, "nothing was written");
    daemon_expect(&stage->world, "GET 1 GA 1 2", "100 INFO 1 GA 1 2 1");
    /* Nobody there any more: the same. */
    begin(stage);
    assert_int_equal(tool_dialogue_end(&stage->tool), OUTCOME_REFUSED);
    daemon_expect(&stage->world, "GET 1 FB 6", "100 INFO 1 FB 6 1");
    assert_file_is_as_it_was(stage);
}

/* Nothing is asked, and nothing moves. */
static void assert_is_refused(struct stage *stage, const char *file, enum outcome outcome,
                              const char *words) {
    char line[256];
    snprintf(line, sizeof line, "commission %s", file);
    tool_dialogue_begin(&stage->tool, line, stage->daemon.port);
    tool_dialogue_expect(&stage->tool, words);
    assert_int_equal(tool_dialogue_end(&stage->tool), outcome);
    assert_null(strstr(stage->tool.said, "crush fingers"));
    daemon_expect(&stage->world, "GET 1 FB 5", "100 INFO 1 FB 5 1"); /* lined as ever */
}

static void the_file_of_another_bridge_is_refused(void **state) {
    struct stage *stage = *state;
    assert_is_refused(stage, SOURCE_DIR "/config/harbor-lift.json", OUTCOME_REFUSED,
                      "is not running"); /* millimetres */
    char *name = strstr(stage->text, "\"west\"");
    assert_non_null(name);
    memcpy(name, "\"wset\"", 6);
    struct error error;
    assert_true(file_text_replace(stage->file, stage->text, &error));
    assert_is_refused(stage, stage->file, OUTCOME_REFUSED, "bus 1 has a different unit of travel");
    assert_is_refused(stage, "/nowhere.json", OUTCOME_CONFIGURATION, "/nowhere.json: No such");
}

/* Enters at each effort until it moved. */
static void find_start(struct stage *stage) {
    while (tool_dialogue_either(&stage->tool, "of the supply:", "Step 4")) {
        tool_dialogue_answer(&stage->tool, "\n");
    }
    assert_non_null(strstr(stage->tool.said, "  it moved with "));
}

/* Presses the key, one nudge after another, until the seated contact reads made. */
static void jog_to_seat(struct stage *stage) {
    while (strcmp(daemon_ask(&stage->world, "GET 1 FB 11"), "100 INFO 1 FB 11 1") != 0) {
        tool_dialogue_answer(&stage->tool, "d");
        daemon_read_until(&stage->news, "100 INFO 1 GA 1 6 1", NULL);
        daemon_read_until(&stage->news, "100 INFO 1 GA 1 6 0", NULL);
    }
    tool_dialogue_answer(&stage->tool, "\n");
}

static void go_through(struct stage *stage) {
    begin(stage);
    work(stage, "seated");
    for (size_t i = 1; i < CONTACTS; i++) {
        pass_over(stage, contacts[i]);
    }
    answer(stage, "releases the emergency stop", "\n");
    answer(stage, "Type raise and Enter to unlock", "raise\n");
    nudge(stage, "  lift: correct");
    find_start(stage);
    tool_dialogue_expect(&stage->tool, "q: quit");
    jog_to_seat(stage);
    tool_dialogue_expect(&stage->tool, "the position reads ");
    answer(stage, "Type raise and Enter to raise it", "raise\n");
    answer(stage, "see it fully open", "du\n");
    answer(stage, "Type lower and Enter to lower it", "lower\n");
    tool_dialogue_expect(&stage->tool, "    lined");
    tool_dialogue_expect(&stage->tool, "\"travel limit\": ");
}

/* Up to the question of step 5. */
static void go_to_run_up(struct stage *stage) {
    begin_with(stage, tool_dialogue_begin_at_terminal);
    skip_contacts(stage);
    nudge(stage, "  lift: correct");
    find_start(stage);
    tool_dialogue_expect(&stage->tool, "q: quit");
    jog_to_seat(stage);
    tool_dialogue_expect(&stage->tool, "Type raise and Enter to raise it");
}

/* Somebody presses Enter four times while it raises: one would have found the open place right, the
 * next would have lowered it. */
static void enters_pressed_while_it_moves_answer_nothing(void **state) {
    struct stage *stage = *state;
    go_to_run_up(stage);
    answer(stage, "all the way:", "raise\n");
    answer(stage, "    raising", "\n\n\n\n");
    tool_dialogue_expect(&stage->tool, "(no question is open; q stops)");
    tool_dialogue_expect(&stage->tool, "Step 6");
    tool_dialogue_expect(&stage->tool, "q: quit");
    /* Still asked: keys jog it, and nothing lowers it. */
    daemon_read_until(&stage->news, "100 INFO 1 FB 3 1", NULL);
    tool_dialogue_answer(&stage->tool, "d");
    daemon_read_until(&stage->news, "100 INFO 1 GA 1 6 1", "100 INFO 1 GA 1 0 1");
    daemon_read_until(&stage->news, "100 INFO 1 GA 1 6 0", "100 INFO 1 GA 1 0 1");
    tool_dialogue_answer(&stage->tool, "\n");
    answer(stage, "Type lower and Enter to lower it", "\n"); /* one too many is no word */
    tool_dialogue_expect(&stage->tool, "Nothing moves: type lower");
    daemon_expect(&stage->world, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    answer(stage, "Type lower and Enter to lower it", "lower\n");
    tool_dialogue_expect(&stage->tool, "    lined");
    answer(stage, "Write it? (yes, no)", "q\n");
    ends(stage, OUTCOME_REFUSED, "nothing was written");
}

/* In the first run of all, which is to wait for a train as long as nobody stops it. */
static void begin_a_run_that_waits(struct stage *stage) {
    begin_with(stage, tool_dialogue_begin_at_terminal);
    for (size_t i = 0; i < CONTACTS; i++) {
        pass_over(stage, contacts[i]);
    }
    answer(stage, "releases the emergency stop", "\n");
    tool_dialogue_expect(&stage->tool, "Type raise and Enter to unlock");
    simulate(stage, "contact main.span by-hand open");
    tool_dialogue_answer(&stage->tool, "raise\n");
    daemon_read_until(&stage->news, "100 INFO 0 GM 0 0 PHASE 1 clearing", NULL);
}

static void keys_in_a_run_are_told_that_they_answer_nothing(void **state) {
    struct stage *stage = *state;
    begin_a_run_that_waits(stage);
    tool_dialogue_answer(&stage->tool, "\n\n");
    tool_dialogue_expect(&stage->tool, "(no question is open; q stops)");
    simulate(stage, "contact main.span by-hand free");
    answer(stage, "Enter: one nudge UP:", "q\n");
    ends(stage, OUTCOME_REFUSED, "nothing was written");
}

static void a_q_in_a_run_stops_it_at_once(void **state) {
    struct stage *stage = *state;
    begin_a_run_that_waits(stage);
    tool_dialogue_answer(&stage->tool, "q");
    ends(stage, OUTCOME_REFUSED, "nothing was written");
    daemon_expect(&stage->world, "GET 1 GA 1 2", "100 INFO 1 GA 1 2 1"); /* held */
}

static void readings_stand_apart_from_the_question(void **state) {
    struct stage *stage = *state;
    begin(stage);
    assert_non_null(strstr(
        stage->tool.said,
        "\nThis bridge is simulated: its contacts cannot be worked by hand. Skip each with s.\n"));
    tool_dialogue_expect(&stage->tool, "seated: make it, keep it so and press Enter (s: skip): ");
    simulate(stage, "contact seated by-hand open");
    tool_dialogue_expect(&stage->tool, "\n    contact seated           open\n"
                                       "seated: make it, keep it so and press Enter (s: skip): ");
    tool_dialogue_answer(&stage->tool, "q\n");
    ends(stage, OUTCOME_REFUSED, "nothing was written");
}

static void whole_set_up_is_written_after_a_yes(void **state) {
    struct stage *stage = *state;
    go_through(stage);
    assert_non_null(strstr(stage->tool.said, "  seated: correct"));
    assert_null(strstr(stage->tool.said, "\"travel\":")); /* the travel was right */
    assert_file_is_as_it_was(stage);                      /* until the yes */
    answer(stage, "Write it? (yes, no)", "yes\n");
    tool_dialogue_expect(&stage->tool, "written; restart drawtenderd");
    assert_int_equal(tool_dialogue_end(&stage->tool), OUTCOME_DONE);

    struct stat stat_of;
    assert_int_equal(stat(stage->file, &stat_of), 0);
    assert_int_equal(stat_of.st_mode & 07777, 0600);
    struct config *config = calloc(1, sizeof *config);
    struct config_report *report = calloc(1, sizeof *report);
    assert_true(config_read_file(stage->file, config, report));
    const struct motion_setup *motion = &config->net.bridge[0].setup.motion;
    /* 75 deg at up to 2.2 deg/s takes more than 34 s, and half as much again is the limit. */
    assert_true(motion->travel_limit_us > 51000000 && motion->travel_limit_us < 200000000);
    assert_true(motion->stall_a > 1.5 && motion->stall_a < 5); /* no-load 1 A; the supply's 5 A */
    assert_true(motion->effort_start > 0 && motion->effort_start < motion->effort_full);
    free(config);
    free(report);
}

#define ON_STAGE(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void) {
    const struct CMUnitTest tests[] = {
        ON_STAGE(wrong_polarity_is_noticed_and_named),
        ON_STAGE(swapped_contacts_are_noticed_and_named),
        ON_STAGE(reversed_motor_is_noticed_and_named),
        ON_STAGE(dead_current_sensor_is_noticed_and_named),
        ON_STAGE(leaving_holds_the_span_and_writes_nothing),
        ON_STAGE(the_file_of_another_bridge_is_refused),
        cmocka_unit_test_setup_teardown(enters_pressed_while_it_moves_answer_nothing, set_up_slower,
                                        tear_down),
        ON_STAGE(keys_in_a_run_are_told_that_they_answer_nothing),
        ON_STAGE(a_q_in_a_run_stops_it_at_once),
        ON_STAGE(readings_stand_apart_from_the_question),
        ON_STAGE(whole_set_up_is_written_after_a_yes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
