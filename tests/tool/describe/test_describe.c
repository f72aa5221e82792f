/* The whole way from a page of answers to a configuration that the daemon takes, for each kind of
 * lift; and what the verb refuses. */
#include "config/config.h"
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/tool/tool_run.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define FOLDER SOURCE_DIR "/tests/tool/describe/answers/"

static const char file[] = BINARY_DIR "/described.json";
static const char answers[] = BINARY_DIR "/described.answers";

static struct tool_run describe(const char *from) {
    char words[1024];
    struct tool_run run = {0};
    snprintf(words, sizeof words, "describe %s --answers %s", file, from);
    tool_run_words(&run, words);
    return run;
}

static void write_file(const char *path, const char *text) {
    FILE *out = fopen(path, "w");
    assert_non_null(out);
    assert_true(fputs(text, out) >= 0);
    assert_int_equal(fclose(out), 0);
}

/* What the configuration of these answers has at this place of its bridge, as JSON. */
struct expected {
    const char *kind, *place, *value;
};

static const cJSON *at(const cJSON *tree, const char *place) {
    const cJSON *node = cJSON_GetArrayItem(cJSON_GetObjectItem(tree, "bridges"), 0);
    char copy[256];
    char *rest = NULL;
    snprintf(copy, sizeof copy, "%s", place);
    for (char *key = strtok_r(copy, "/", &rest); key != NULL; key = strtok_r(NULL, "/", &rest)) {
        node = cJSON_IsArray(node) ? cJSON_GetArrayItem(node, atoi(key))
                                   : cJSON_GetObjectItemCaseSensitive(node, key);
    }
    return node;
}

/* Worked out by hand from the pages of answers. */
static const struct expected expected[] = {
    {"strut", "/lift/pinion axis", "[\"-630 mm\",\"490 mm\"]"},
    /* 14 kg x 2.3 m / 31 kg */
    {"strut", "/leaf/masses/0/at/0", "\"1038.7 mm\""},
    /* (14 kg - 0.5 kg) x 2.3 m / 0.8 m */
    {"strut", "/leaf/counterweight/mass", "\"38.812 kg\""},
    /* (7 N - 4.2 N) / 2 x 2.3 m */
    {"strut", "/leaf/friction", "\"3.22 N m\""},
    {"strut", "/drive/gearbox/ratio", "16"}, /* 48/12 x 40/10 */
    /* (0.4 m/s)^2 / (2 x 1 m), and by 0.32 m */
    {"strut", "/tracks/0/trains/coasting", "\"0.08 m/s2\""},
    {"strut", "/tracks/0/trains/braking", "\"0.25 m/s2\""},
    {"sector", "/drive/pinion/pitch", "\"1 mm\""}, /* 18 mm / (16 + 2) */
    {"sector", "/drive/worm/ratio", "40"},
    /* atan(2.51 / (pi x (18 - 2 x 2.51 / pi))) */
    {"sector", "/drive/worm/lead angle", "\"2.7887 deg\""},
    {"sector", "/motor/no-load speed", "\"9000 rpm\""}, /* 300 rpm x 30 */
    {"sector", "/motor/stall current", "\"12.8 A\""},   /* 12 V / (1.5 V / 1.6 A) */
    /* (12 V - 0.4 A x 0.9375 ohm) / 942.48 rad/s x (12.8 A - 0.4 A) */
    {"sector", "/motor/stall torque", "\"0.15295 N m\""},
    {"rolling", "/lift/rack", "\"above\""},
    {"rolling", "/motion/full speed", "\"1.0833 deg/s\""}, /* 65 deg in 60 s */
    {"vertical", "/lift/travel", "\"45 cm\""},
    {"vertical", "/wired/lock servo/pwm/chip", "\"/sys/class/pwm/pwmchip1\""},
    {"vertical", "/leaf/friction", "\"6 N\""}, /* (15 N - 3 N) / 2 */
    {"vertical", "/tracks/1/ends/1/name", "\"town\""},
    {"swing", "/leaf/friction", "\"1.2 N m\""}, /* 1 N x 1.2 m */
    {"swing", "/wired/power stage/kind", "\"phase\""},
    {"hand", "/lock/driven", "false"},
    {"bar", "/lock/driven", "true"},
    {"bar", "/leaf/counterweight/mass", "\"15 kg\""},
    /* 320 turns all in, a wheel of 20 teeth guessed; one thread on eight modules: atan(1 / 8) */
    {"bar", "/drive/worm/ratio", "20"},
    {"bar", "/drive/gearbox/ratio", "16"},
    {"bar", "/drive/worm/lead angle", "\"7.125 deg\""},
    {"sector", "/drive/gearbox/ratio", "30"}, /* 1200 / 40 */
};

static void check_values(const char *kind, const char *text) {
    cJSON *tree = cJSON_Parse(text);
    unsigned seen = 0;
    for (size_t i = 0; i < COUNT(expected); i++) {
        if (strcmp(expected[i].kind, kind) == 0) {
            char *found = cJSON_PrintUnformatted(at(tree, expected[i].place));
            if (found == NULL || strcmp(found, expected[i].value) != 0) {
                fail_msg("%s: %s is %s, not %s", kind, expected[i].place,
                         found != NULL ? found : "not there", expected[i].value);
            }
            free(found);
            seen++;
        }
    }
    assert_true(seen > 0);
    cJSON_Delete(tree);
}

static void each_kind_of_lift_becomes_a_configuration_that_the_daemon_takes(void **state) {
    (void)state;
    static const char *const kinds[] = {"hand",     "sector", "strut", "rolling",
                                        "vertical", "swing",  "bar"};
    struct config *config = malloc(sizeof *config);
    for (size_t i = 0; i < COUNT(kinds); i++) {
        char path[512];
        snprintf(path, sizeof path, FOLDER "%s.answers", kinds[i]);
        unlink(file);
        struct tool_run run = describe(path);
        tool_run_says(run.out, "Verdicts");
        tool_run_says(run.out, "What to do next");
        tool_run_ends(run, OUTCOME_DONE, "--check", "");
        struct config_report report;
        if (!config_read_file(file, config, &report)) {
            config_text_print(&report.errors);
            fail_msg("%s is refused", kinds[i]);
        }
        char *text = config_text_of_file(file);
        check_values(kinds[i], text);
        free(text);
    }
    free(config);
}

/* Runs a command of the shell in the build's folder and keeps what it prints. */
static char *shell(const char *command, int *status) {
    char *out = NULL;
    size_t size;
    FILE *stream = open_memstream(&out, &size);
    FILE *pipe = popen(command, "r");
    int c;
    while (pipe != NULL && (c = fgetc(pipe)) != EOF) {
        fputc(c, stream);
    }
    fclose(stream);
    *status = pipe != NULL ? pclose(pipe) : -1;
    return out;
}

static void is_same(const char *one, const char *other) {
    char *texts[] = {config_text_of_file(one), config_text_of_file(other)};
    if (strcmp(texts[0], texts[1]) != 0) {
        fail_msg("%s is not current: see %s", one, other);
    }
    free(texts[0]);
    free(texts[1]);
}

/* What config/first-bridge.md shows is what the programs write. */
static void the_first_bridge_is_as_described_and_drawn(void **state) {
    (void)state;
    static const char drawing[] = BINARY_DIR "/first-bridge-wiring.svg";
    unlink(file);
    unlink(drawing);
    struct tool_run run = describe(FOLDER "first.answers");
    assert_null(strstr(run.out, "BAD"));
    tool_run_ends(run, OUTCOME_DONE, "", "");
    is_same(SOURCE_DIR "/config/first-bridge.json", file);
    char command[1024];
    snprintf(command, sizeof command,
             BINARY_DIR "/drawtenderd --config %s --wiring-drawing %s 2>/dev/null", file, drawing);
    assert_int_equal(system(command), 0);
    int status;
    snprintf(command, sizeof command, BINARY_DIR "/drawtenderd --config %s --check 2>/dev/null",
             file);
    char *checked = shell(command, &status);
    assert_int_equal(status, 0);
    tool_run_says(checked, "drawtender reckon");
    free(checked);
    is_same(SOURCE_DIR "/config/pictures/first-bridge-wiring.svg", drawing);
}

/* A motor whose watch ends a stall too late is no less bad for being a finding. */
static void what_the_sums_find_bad_is_shown_before_anything_is_built(void **state) {
    (void)state;
    unlink(file);
    char *text = config_text_of_file(FOLDER "first.answers");
    const char *cut = strstr(text, "supply current: 2 A");
    assert_non_null(cut);
    FILE *out = fopen(answers, "w");
    assert_non_null(out);
    fprintf(out, "%.*ssupply current: 0.5 A%s", (int)(cut - text), text,
            cut + strlen("supply current: 2 A"));
    assert_int_equal(fclose(out), 0);
    free(text);
    struct tool_run run = describe(answers);
    tool_run_says(run.out, "Motor heat and duty, fuse and wire\n  BAD ");
    tool_run_says(run.out, "current needed from the supply, with a quarter to spare: ");
    tool_run_free(&run);
}

static void guesses_are_named(void **state) {
    (void)state;
    unlink(file);
    struct tool_run run = describe(FOLDER "sector.answers");
    tool_run_says(run.out, "Guesses: measure these before you rely on them\n");
    tool_run_says(run.out, "  tip reading        half\n");
    tool_run_says(run.out, "  supply current     none\n");
    tool_run_says(run.out, "  pull up            friction, from the shaft");
    tool_run_ends(run, OUTCOME_DONE, "", "");
    unlink(file);
    run = describe(FOLDER "bar.answers");
    tool_run_says(run.out, "  worm wheel         20\n");
    tool_run_says(run.out, "  worm diameter      lead angle, of the thinnest usual worm");
    tool_run_ends(run, OUTCOME_DONE, "", "");
    unlink(file);
    run = describe(FOLDER "vertical.answers");
    tool_run_says(run.out, "  servo pwm          servo pulses, 1.8 ms driven and 1.2 ms withdrawn");
    tool_run_ends(run, OUTCOME_DONE, "", "");
    unlink(file);
    run = describe(FOLDER "strut.answers");
    assert_null(strstr(run.out, "Guessed"));
    tool_run_ends(run, OUTCOME_DONE, "", "");
}

static void nothing_is_written_over_a_file(void **state) {
    (void)state;
    write_file(file, "mine\n");
    tool_run_ends(describe(FOLDER "hand.answers"), OUTCOME_UNWRITTEN, "",
                  "drawtender describe NEW.json --answers ");
    char *text = config_text_of_file(file);
    assert_string_equal(text, "mine\n");
    free(text);
}

static void wrong_answers_are_named_and_write_nothing(void **state) {
    (void)state;
    static const struct {
        const char *text, *words;
    } cases[] = {
        {"kind: sector\n", "no answer to 'travel'"},
        {"kind: sector\ntravle: 70 deg\n", "line 2: no question is called 'travle'"},
        {"kind: sector\ntravel: 70\n", "line 2: \"70\" has no unit"},
        {"kind: bascule\n", "line 1: 'bascule' is not one of: hand sector"},
        {"kind: hand\nopen: ?\n",
         "line 2: nothing is guessed for this: Enter takes the usual, yes"},
        {"kind: hand\ntravel: ?\n", "line 2: this cannot be guessed"},
        {"kind: sector\nlock drive: /dev/servo\n",
         "line 2: '/dev/servo' is not one of: relays servo"},
        {"kind: sector\nservo pwm: servo\n", "line 2: 'servo' is not a folder's whole path"},
        {"kind: sector\nlines: 5 6 GPIO17\n", "line 2: 'GPIO17' is not the number of a line"},
        {"kind: sector\ngear teeth: 12/48 10\n", "line 2: '10' is not a pair of teeth"},
        {"travel 70 deg\n", "line 1: 'travel 70 deg' is not an answer"},
    };
    unlink(file);
    for (size_t i = 0; i < COUNT(cases); i++) {
        write_file(answers, cases[i].text);
        tool_run_ends(describe(answers), OUTCOME_CONFIGURATION, "", cases[i].words);
        assert_int_equal(access(file, F_OK), -1);
    }
    tool_run_ends(describe(answers), OUTCOME_CONFIGURATION, "", "/described.answers: line 1: ");
    tool_run_ends(describe("/nowhere.answers"), OUTCOME_CONFIGURATION, "", "/nowhere.answers: No");
}

/* A lock bar worked by hand wants its contact: guards refuse it, and nothing is written. */
static void what_the_daemon_would_refuse_is_not_written(void **state) {
    (void)state;
    char *text = config_text_of_file(FOLDER "hand.answers");
    char *locked = strstr(text, "locked: yes");
    assert_non_null(locked);
    memcpy(locked, "locked: no ", strlen("locked: no "));
    write_file(answers, text);
    free(text);
    unlink(file);
    tool_run_ends(describe(answers), OUTCOME_CONFIGURATION, "answers concerned: lock, locked",
                  "would refuse");
    assert_int_equal(access(file, F_OK), -1);
}

static void terminals_that_do_not_suffice_are_told(void **state) {
    (void)state;
    char *text = config_text_of_file(FOLDER "sector.answers");
    char *lines = strstr(text, "lines: 5 6 16 17");
    assert_non_null(lines);
    lines[strlen("lines: 5 6")] = '\n';
    lines[strlen("lines: 5 6\n")] = '#';
    write_file(answers, text);
    free(text);
    unlink(file);
    tool_run_ends(describe(answers), OUTCOME_CONFIGURATION, "Wrong", "would refuse");
}

/* Writes the answers of this kind, with one line in the place of another. */
static void change_answers(const char *kind, const char *line, const char *instead) {
    char path[512];
    snprintf(path, sizeof path, FOLDER "%s.answers", kind);
    char *text = config_text_of_file(path);
    char *at_line = strstr(text, line);
    assert_non_null(at_line);
    FILE *out = fopen(answers, "w");
    assert_non_null(out);
    assert_true(
        fprintf(out, "%.*s%s%s", (int)(at_line - text), text, instead, at_line + strlen(line)) > 0);
    assert_int_equal(fclose(out), 0);
    free(text);
    unlink(file);
}

/* Neither friction nor a rope that nobody has measured makes a verdict good. */
static void what_is_guessed_is_not_relied_on(void **state) {
    (void)state;
    change_answers("vertical",
                   "lift up: 15 N\nlift down: 3 N\ngearbox: 1500\nworm: yes\nworm ratio: 30\n"
                   "lead angle: 1.5 deg\n",
                   "lift up: ?\ngearbox: 30\n");
    struct tool_run run = describe(answers);
    tool_run_says(run.out, "the sheaves' friction holds the span, margin ");
    tool_run_says(run.out, ": measure /bridges/0/leaf/friction first");
    tool_run_says(run.out, "  lift up            friction, 4 % of the weight, +- 100 %");
    tool_run_free(&run);
    change_answers("vertical", "counterweight: 47 lb\n", "counterweight: 47 lb 9 oz\n");
    tool_run_ends(describe(answers), OUTCOME_DONE, ": measure /bridges/0/leaf/ropes/weight first",
                  "");
}

/* A gearbox whose worm was counted once more: ten times as slow is no good opening. */
static void an_opening_far_from_what_was_asked_is_bad(void **state) {
    (void)state;
    change_answers("bar", "gearbox: 320\n", "gearbox: 6400\n");
    tool_run_ends(describe(answers), OUTCOME_DONE,
                  "but you asked for about 40 s (opening time). Look at\n  gearbox", "");
    unlink(file);
    struct tool_run run = describe(FOLDER "bar.answers");
    assert_null(strstr(run.out, "are asked for"));
    tool_run_ends(run, OUTCOME_DONE, "", "");
}

/* Those that went into a sum, too; and the errors come last. */
static void what_is_wrong_is_told_by_the_answers(void **state) {
    (void)state;
    change_answers("first", "stop section: 1.2 m\n", "stop section: 30 cm\n");
    struct tool_run run = describe(answers);
    tool_run_says(run.out, "answers concerned: train speed, roll, pickup, stop section\n");
    tool_run_says(run.out, "m is enough");
    assert_null(strstr(run.out, "inf"));
    assert_true(strstr(run.out, "\nWrong\n") > strstr(run.out, "Verdicts"));
    tool_run_ends(run, OUTCOME_CONFIGURATION, "", "would refuse");
    change_answers("vertical", "gearbox: 1500\n", "gearbox: 150000\nopening time: 20 s\n");
    run = describe(answers);
    tool_run_says(run.out, "drum, gearbox, free speed");
    tool_run_free(&run);
    change_answers("first", "train length: 1.5 m\n", "train length: 5 cm\n");
    tool_run_ends(describe(answers), OUTCOME_CONFIGURATION,
                  "answers concerned: pickup, train length", "would refuse");
}

/* ---- the programs themselves */

static void opens_before_the_eyes(const char *kind, const char *const words[], size_t count) {
    char command[2048];
    int status;
    unlink(file);
    snprintf(command, sizeof command,
             "(cat " FOLDER "%s.answers; echo 'watch: yes') > %s; " BINARY_DIR
             "/drawtender describe %s --answers %s 2>&1",
             kind, answers, file, answers);
    char *out = shell(command, &status);
    const char *from = out;
    for (size_t i = 0; i < count; i++) {
        const char *found = strstr(from, words[i]);
        if (found == NULL) {
            fail_msg("%s: no \"%s\" in \"%s\"", kind, words[i], from);
        }
        from = found;
    }
    assert_int_equal(status, 0);
    free(out);
}

static void the_described_bridge_opens_in_the_simulator(void **state) {
    (void)state;
    static const char *const by_hand[] = {
        "seen-clear",     "lock by-hand withdrawn", "span by-hand 1", "\n  open",
        "span by-hand 0", "lock by-hand driven",    "\n  lined"};
    opens_before_the_eyes("hand", by_hand, COUNT(by_hand));
    /* Two switches and a strut, whose arm changes: its place is an estimate all the way. */
    static const char *const by_motor[] = {"\n  clearing", "\n  raising", "\n  open",
                                           "\n  lowering", "\n  lined"};
    opens_before_the_eyes("strut", by_motor, COUNT(by_motor));
    /* Nothing proves its bar: held after the start, and a person's word at each opening. */
    static const char *const by_time[] = {"held: nothing tells",
                                          "lower\" comes first",
                                          "\n  lined",
                                          "said for you",
                                          "\n  open",
                                          "\n  lined"};
    opens_before_the_eyes("bar", by_time, COUNT(by_time));
}

/* After a change, a < and an Enter too many: only the word writes it, and only what is new is told.
 */
static void the_file_takes_a_word(void **state) {
    (void)state;
    int status;
    char command[2048];
    unlink(file);
    snprintf(command, sizeof command,
             "cp " FOLDER "bar.answers %s.answers; (yes '' | head -40; printf 'watch\\nstop "
             "section\\n<\\n\\nq\\n') | " BINARY_DIR "/drawtender describe %s 2>&1",
             file, file);
    char *out = shell(command, &status);
    tool_run_says(out, "watch is asked once the file is written");
    assert_null(strstr(out, "(null)"));
    tool_run_says(out, "stop section is as it was: 1.5 m");
    tool_run_says(out, "Nothing is written yet: that takes the word write.");
    assert_int_equal(access(file, F_OK), -1);
    free(out);
    snprintf(command, sizeof command,
             "printf 'stop section\\n1.6 m\\nwrite\\nno\\n' | " BINARY_DIR
             "/drawtender describe %s 2>&1; rm %s.answers",
             file, file);
    out = shell(command, &status);
    const char *changed = strstr(out, "In the report:");
    assert_non_null(changed);
    tool_run_says(changed, "stop section 1.60 m");
    assert_null(strstr(changed, "toe reaction"));
    assert_int_equal(access(file, F_OK), 0);
    free(out);
}

static void the_wiring_table_comes_with_the_file(void **state) {
    (void)state;
    int status;
    unlink(file);
    char command[1024];
    snprintf(command, sizeof command,
             BINARY_DIR "/drawtender describe %s --answers " FOLDER "sector.answers 2>&1", file);
    char *out = shell(command, &status);
    assert_int_equal(status, 0);
    tool_run_says(out, "Sluice: wiring");
    tool_run_says(out, "heartbeat");
    tool_run_says(out, "main.span-power");
    free(out);
}

static int remove_files(void **state) {
    (void)state;
    unlink(file);
    unlink(answers);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_kind_of_lift_becomes_a_configuration_that_the_daemon_takes),
        cmocka_unit_test(the_first_bridge_is_as_described_and_drawn),
        cmocka_unit_test(what_the_sums_find_bad_is_shown_before_anything_is_built),
        cmocka_unit_test(guesses_are_named),
        cmocka_unit_test(nothing_is_written_over_a_file),
        cmocka_unit_test(wrong_answers_are_named_and_write_nothing),
        cmocka_unit_test(what_the_daemon_would_refuse_is_not_written),
        cmocka_unit_test(terminals_that_do_not_suffice_are_told),
        cmocka_unit_test(what_is_wrong_is_told_by_the_answers),
        cmocka_unit_test(what_is_guessed_is_not_relied_on),
        cmocka_unit_test(an_opening_far_from_what_was_asked_is_bad),
        cmocka_unit_test(the_described_bridge_opens_in_the_simulator),
        cmocka_unit_test(the_file_takes_a_word),
        cmocka_unit_test(the_wiring_table_comes_with_the_file),
    };
    return cmocka_run_group_tests(tests, NULL, remove_files);
}
