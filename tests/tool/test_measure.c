/* The verb that makes configuration values of household readings, as a user runs it. */
#include "config/config.h"
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/tool/tool_run.h"
#include "tools/drawtender/sizing/measure_topics.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct tool_run run(const char *arguments) {
    struct tool_run run = {0};
    char words[600];
    snprintf(words, sizeof words, "measure %s", arguments);
    tool_run_words(&run, words);
    return run;
}

static cJSON *json_of(const char *arguments) {
    struct tool_run ran = run(arguments);
    cJSON *json = cJSON_Parse(ran.out);
    if (ran.outcome != OUTCOME_DONE || json == NULL) {
        fail_msg("%s: %s", arguments, ran.err);
    }
    tool_run_free(&ran);
    return json;
}

static double number(const cJSON *json, const char *key) {
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(json, key);
    assert_true(cJSON_IsNumber(item));
    return item->valuedouble;
}

static void assert_near(double found, double wanted, double part) {
    if (!(fabs(found - wanted) <= part * fabs(wanted))) {
        fail_msg("found %.9g, wanted %.9g", found, wanted);
    }
}

static void a_topic_alone_says_how_to_measure(void **state) {
    (void)state;
    const struct measure_topic *topic;
    for (size_t i = 0; (topic = measure_topic(i)) != NULL; i++) {
        struct tool_run ran = run(topic->name);
        for (size_t r = 0; topic->reading[r].name != NULL; r++) {
            tool_run_says(ran.out, topic->reading[r].name);
        }
        tool_run_says(ran.out, "fingers");
        tool_run_ends(ran, OUTCOME_DONE, topic->procedure[0], "");
    }
}

/* 61.3 N at 2.25 m is a moment of 137.9 N m; with 20 kg: 0.7032 m from the axis. */
static void a_leaf_is_as_heavy_as_its_readings(void **state) {
    (void)state;
    cJSON *json = json_of("leaf toe=2.25m level=61.3N mass=20kg --json");
    assert_near(number(json, "moment_n_m"), 137.925, 1e-9);
    assert_near(number(json, "x_m"), 137.925 / 9.80665 / 20, 1e-9);
    cJSON_Delete(json);
    tool_run_ends(run("leaf toe=2.25m level=61.3N"), OUTCOME_DONE, "one reading is a moment", "");
    tool_run_ends(run("leaf toe=2.25m level=6.25kg middle=1m"), OUTCOME_DONE, "137.9", "");
}

/* 4.1 kg +- 0.1 kg at 2.25 m +- 1 cm: 1/41 and 1/225 of the moment, together a 40.4th; its centre
 * with 18 kg +- 0.5 kg, 1/36 more: a 26.8th (Pythagoras). */
static void readings_may_say_how_far_they_are_off(void **state) {
    (void)state;
    cJSON *json = json_of("leaf toe=2.25m+-1cm level=4.1kg+-0.1kg mass=18kg+-0.5kg --json");
    const cJSON *spread = cJSON_GetObjectItem(json, "spread");
    assert_near(number(spread, "moment_n_m") / number(json, "moment_n_m"),
                hypot(1 / 41.0, 1 / 225.0), 1e-3);
    double part = hypot(hypot(1 / 41.0, 1 / 225.0), 1 / 36.0);
    assert_near(number(spread, "x_m") / number(json, "x_m"), part, 0.02);
    cJSON_Delete(json);
    tool_run_ends(run("leaf toe=2.25m level=4.1kg+-0.1kg"), OUTCOME_DONE, "90.47 N m +- 2.2 N m",
                  "");
}

static void append_without_blanks(char *words, size_t size, const char *text) {
    for (size_t used = strlen(words); *text != '\0' && used + 1 < size; text++) {
        if (*text != ' ') {
            words[used++] = *text;
            words[used] = '\0';
        }
    }
}

/* Whoever copies them gets an answer. */
static void examples_of_the_help_are_readings(void **state) {
    (void)state;
    const struct measure_topic *topic;
    for (size_t i = 0; (topic = measure_topic(i)) != NULL && !topic->wants_bridge; i++) {
        char words[600];
        snprintf(words, sizeof words, "%s", topic->name);
        for (size_t r = 0; topic->reading[r].name != NULL; r++) {
            size_t used = strlen(words);
            if (strcmp(topic->reading[r].name, "ratio") != 0) { /* its speed is the motor's */
                snprintf(words + used, sizeof words - used, " %s=", topic->reading[r].name);
                append_without_blanks(words, sizeof words, topic->reading[r].example);
            }
        }
        struct tool_run ran = run(words);
        assert_null(strstr(ran.out, "contradict"));
        tool_run_ends(ran, OUTCOME_DONE, "In the configuration", "");
    }
}

/* What it says for the configuration is taken by the configuration, and makes the same motor. */
static void a_motors_snippet_fits_the_configuration(void **state) {
    (void)state;
    cJSON *json =
        json_of("motor free-volts=6V free-amps=0.62A free-speed=302.680729rpm ratio=25 "
                "held-volts=0.9V held-amps=1.05A held-volts-2=1.8V held-amps-2=2.9A --json");
    assert_near(number(json, "resistance_ohm"), 0.9 / 1.85, 1e-9);
    assert_near(number(json, "ke_v_s_rad"), 0.0067, 1e-6);
    char object[700];
    snprintf(object, sizeof object, "{%s}",
             cJSON_GetObjectItemCaseSensitive(json, "configuration")->valuestring);
    cJSON *snippet = cJSON_Parse(object);
    assert_non_null(snippet);
    char *motor = cJSON_PrintUnformatted(cJSON_GetObjectItemCaseSensitive(snippet, "motor"));
    char *text = config_text_of_file(SOURCE_DIR "/config/kettle-narrows.json");
    cJSON *tree = cJSON_Parse(text);
    config_text_patch(tree, "/bridges/0/motor", motor);
    char *patched = cJSON_Print(tree);
    static struct config config; /* too large for the stack */
    static struct config_report report;
    config_read_text(patched, strlen(patched), &config, &report);
    assert_int_equal(report.errors.count - report.misfits, 0);
    assert_near(config.bridge[0].motor.no_load_a, 0.62, 1e-6);
    assert_near(config.bridge[0].motor.kt_n_m_a, 0.0067, 1e-3);
    cJSON_free(patched);
    cJSON_free(motor);
    free(text);
    cJSON_Delete(tree);
    cJSON_Delete(snippet);
    cJSON_Delete(json);
}

/* 800 turns for 2, a rack that runs 79.8 mm meanwhile: 400:1 and 16 teeth of 32 DP, 6.35 mm. */
static void a_ratio_is_counted(void **state) {
    (void)state;
    cJSON *json = json_of("ratio fast=800 slow=2 rack=79.7964534mm --json");
    assert_near(number(json, "ratio"), 400, 1e-12);
    assert_near(number(json, "error"), 0.125, 1e-12);
    assert_near(number(json, "radius_m"), 0.00635, 1e-8);
    cJSON_Delete(json);
}

/* More current up than down: gravity closes; and friction is what both share. */
static void friction_is_what_both_ways_share(void **state) {
    (void)state;
    cJSON *json = json_of("friction " SOURCE_DIR
                          "/config/kettle-narrows.json up-amps=1.3A down-amps=1.1A --json");
    assert_near(number(json, "friction_most") / number(json, "imbalance_most"), 2, 1e-9);
    assert_true(number(json, "friction_least") < number(json, "friction_most"));
    cJSON_Delete(json);
}

static void what_cannot_be_is_refused(void **state) {
    (void)state;
    static const struct {
        const char *arguments;
        enum outcome outcome;
        const char *err;
    } cases[] = {
        {"weather", OUTCOME_USAGE, "leaf|motor|ratio|friction"},
        {"leaf toe=2.25m", OUTCOME_USAGE, "level=... is missing"},
        {"leaf toes=2.25m level=4kg", OUTCOME_USAGE, "\"toes=2.25m\" is not a reading of leaf"},
        {"leaf toe level=4kg", OUTCOME_USAGE, "is not a reading"},
        {"leaf toe=2.25kg level=4kg", OUTCOME_USAGE, "is a mass"},
        {"leaf toe=2.25m level=4m", OUTCOME_USAGE, "a force is wanted"},
        {"leaf toe=2.25m level=4kg raised=3kg", OUTCOME_REFUSED, "needs its angle"},
        {"ratio fast=800 slow=0", OUTCOME_REFUSED, "above zero"},
        {"motor free-volts=6V free-amps=1A free-speed=9rpm held-volts=6V held-amps=0.9A",
         OUTCOME_REFUSED, "less than it does held fast"},
        {"friction nowhere.json up-volts=1V", OUTCOME_CONFIGURATION, "nowhere.json"},
        {"friction " SOURCE_DIR "/config/kettle-narrows.json up-volts=1V", OUTCOME_REFUSED,
         "both ways"},
        {"friction " SOURCE_DIR "/config/garden-gate.json up-volts=1V", OUTCOME_CONFIGURATION,
         "no powered bridge"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        tool_run_ends(run(cases[i].arguments), cases[i].outcome, "", cases[i].err);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_topic_alone_says_how_to_measure),
        cmocka_unit_test(a_leaf_is_as_heavy_as_its_readings),
        cmocka_unit_test(readings_may_say_how_far_they_are_off),
        cmocka_unit_test(examples_of_the_help_are_readings),
        cmocka_unit_test(a_motors_snippet_fits_the_configuration),
        cmocka_unit_test(a_ratio_is_counted),
        cmocka_unit_test(friction_is_what_both_ways_share),
        cmocka_unit_test(what_cannot_be_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
