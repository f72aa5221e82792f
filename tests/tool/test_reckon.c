/* The sizing report, the whole way from a configuration file to what is printed and plotted. */
#include "config/config.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/tool/tool_run.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* A leaf, its counterweight, strut, gears and motor whose moments, arms, torques and currents were
 * worked out for this project by hand and by a second way each. */
static const char example[] =
    "{\"bridges\": [{"
    "  \"name\": \"A <b> & \\\"c\\\"\","
    "  \"lift\": {\"kind\": \"strut\", \"travel\": \"82 deg\","
    "    \"strut pin\": [\"55 cm\", \"30 cm\"], \"pinion axis\": [\"-45 cm\", \"85 cm\"]},"
    "  \"leaf\": {\"masses\": ["
    "      {\"mass\": \"14 kg\", \"at\": [\"1.2 m\", \"2 cm\"]},"
    "      {\"mass\": \"16.5 kg\", \"at\": [\"1.05 m\", \"30 cm\"]},"
    "      {\"mass\": \"1.2 kg\", \"at\": [\"2.3 m\", \"5 cm\"]},"
    "      {\"mass\": \"4 kg\", \"at\": [\"-20 cm\", \"5 cm\"]}],"
    "    \"counterweight\": {\"mass\": \"58 kg\", \"at\": [\"-57.5 cm\", \"-7 cm\"]},"
    "    \"toe\": \"2.4 m\", \"friction\": \"3.5 N m\","
    "    \"seat\": {\"least\": \"4 N\", \"most\": \"12 N\"},"
    "    \"outline\": [{\"what\": \"toe, deck\", \"at\": [\"2.4 m\", \"5 cm\"]},"
    "      {\"at\": [\"2.1 m\", \"45 cm\"]}, {\"at\": [\"70 cm\", \"62 cm\"]}]},"
    "  \"room\": {\"axis height\": \"1.1 m\", \"ceiling\": \"3.6 m\"},"
    "  \"drive\": {\"pinion\": {\"teeth\": 16, \"pitch\": \"32 DP\"},"
    "    \"gearbox\": {\"ratio\": \"10:1\", \"efficiency\": \"85 %\"},"
    "    \"worm\": {\"ratio\": \"40:1\", \"lead angle\": \"2.86240523 deg\","
    "      \"pressure angle\": \"20 deg\", \"least friction\": 0.06, \"most friction\": 0.06}},"
    "  \"motor\": {\"voltage\": \"12 V\", \"no-load speed\": \"16800 rpm\","
    "    \"no-load current\": \"1 A\", \"stall torque\": \"0.272999448 N m\","
    "    \"stall current\": \"42 A\", \"brake\": \"5 mN m\"},"
    "  \"supply\": {\"voltage\": \"12 V\", \"current\": \"5 A\"},"
    "  \"motion\": {\"full speed\": \"2 deg/s\", \"travel limit\": \"8 min\"},"
    "  \"lock\": {\"driven\": true},"
    "  \"contacts\": {\"seated\": true, \"locked\": true, \"withdrawn\": true, \"open\": true},"
    "  \"tracks\": [{\"name\": \"main\","
    "    \"trains\": {\"speed\": \"0.5 m/s\", \"braking\": \"0.3 m/s2\","
    "      \"coasting\": \"0.3 m/s2\", \"reaction\": \"0.2 s\", \"pickup\": \"55 cm\","
    "      \"margin\": \"15 cm\"},"
    "    \"ends\": [{\"name\": \"west\", \"approach length\": \"4 m\","
    "      \"stop length\": \"2 m\"}]}]}]}";

static const char file[] = BINARY_DIR "/reckon.json";
static const char folder[] = BINARY_DIR "/reckon-plots";

/* --- running --- */

static void write_file(const char *text) {
    FILE *out = fopen(file, "w");
    assert_non_null(out);
    fputs(text, out);
    assert_int_equal(fclose(out), 0);
}

/* The example with a value (JSON text) put somewhere, or taken away with NULL. */
static void write_patched(const char *where, const char *value) {
    cJSON *tree = cJSON_Parse(example);
    assert_non_null(tree);
    config_text_patch(tree, where, value);
    char *text = cJSON_Print(tree);
    write_file(text);
    cJSON_free(text);
    cJSON_Delete(tree);
}

static struct tool_run run(const char *options) {
    struct tool_run run = {0};
    char arguments[512];
    snprintf(arguments, sizeof arguments, "reckon %s %s", file, options);
    tool_run_words(&run, arguments);
    return run;
}

/* The JSON that was printed, which is all that was. */
static cJSON *reckon(enum outcome outcome) {
    struct tool_run ran = run("--json");
    if (ran.outcome != outcome) {
        fail_msg("ended %d, not %d: %s", ran.outcome, outcome, ran.err);
    }
    cJSON *json = cJSON_Parse(ran.out);
    assert_non_null(json);
    tool_run_free(&ran);
    return json;
}

/* --- looking --- */

static const cJSON *get(const cJSON *object, const char *key) {
    return cJSON_GetObjectItemCaseSensitive(object, key);
}

static double number(const cJSON *object, const char *key) {
    const cJSON *value = get(object, key);
    if (!cJSON_IsNumber(value)) {
        fail_msg("%s is no number", key);
    }
    return value->valuedouble;
}

static const cJSON *first_bridge(const cJSON *json) {
    return cJSON_GetArrayItem(get(json, "bridges"), 0);
}

static const cJSON *verdict(const cJSON *json, const char *about) {
    const cJSON *item;
    cJSON_ArrayForEach(item, get(first_bridge(json), "verdicts")) {
        if (strcmp(get(item, "about")->valuestring, about) == 0) {
            return item;
        }
    }
    fail_msg("no verdict about %s", about);
    return NULL;
}

static const cJSON *position(const cJSON *json, double at) {
    const cJSON *item;
    cJSON_ArrayForEach(item, get(first_bridge(json), "positions")) {
        if (fabs(number(item, "position") - at) < 1e-6) {
            return item;
        }
    }
    fail_msg("no row at %g", at);
    return NULL;
}

static void assert_near(double found, double wanted, double part) {
    if (!(fabs(found - wanted) <= part * fabs(wanted))) {
        fail_msg("found %.9g, wanted %.9g", found, wanted);
    }
}

/* --- numbers --- */

static const double at[] = {0, 20, 40, 60, 80};

/* M = g sum m (x cos t - y sin t), against the derivative of the potential energy. */
static void imbalance_is_as_worked_out(void **state) {
    (void)state;
    static const double moment[] = {26.8211878, 20.4073495, 11.5320837, 1.2658784, -9.1530105};
    write_file(example);
    cJSON *json = reckon(OUTCOME_DONE);
    for (size_t i = 0; i < COUNT(at); i++) {
        assert_near(number(position(json, at[i]), "imbalance_n_m"), moment[i], 1e-7);
    }
    assert_near(number(verdict(json, "seat"), "value"), 11.1754949, 1e-7);
    assert_near(number(get(first_bridge(json), "values"), "balance_angle_deg"), 27.6029047, 1e-7);
    assert_near(number(get(first_bridge(json), "values"), "mass_kg"), 93.7, 1e-9);
    cJSON_Delete(json);
}

/* Rack travel and arm of a rack that rolls on its pinion (travel over the teeth = -dS - r d(delta);
 * arm against its central difference). */
static const double travel[] = {0, 0.196633734, 0.411439689, 0.62472522, 0.78505154};
static const double arm[] = {0.526034946, 0.595696971, 0.626480295, 0.574160905, 0.281541437};

static void rack_and_arm_are_as_worked_out(void **state) {
    (void)state;
    write_file(example);
    cJSON *json = reckon(OUTCOME_DONE);
    for (size_t i = 0; i < COUNT(at); i++) {
        assert_near(number(position(json, at[i]), "rack_travel_m"), travel[i], 1e-6);
        assert_near(number(position(json, at[i]), "arm"), arm[i], 1e-6);
    }
    cJSON_Delete(json);
}

/* Torque and current while raising were worked out (and checked by a power balance) with the arms
 * of a rack taken as a string; a force goes with the arm's inverse. */
static void motor_torque_and_current_are_as_worked_out(void **state) {
    (void)state;
    static const double torque[] = {0.00257930985, 0.00179841921, 0.00107751949, 0.000374806198,
                                    0.000101983628};
    static const double string_arm[] = {0.527920085, 0.596988535, 0.626497791, 0.57103363,
                                        0.271571457};
    static const double constant = 0.00665852313; /* V s/rad and N m/A: RS-540 sheet, Kt = Ke */
    write_file(example);
    cJSON *json = reckon(OUTCOME_DONE);
    double motor_rad_s = number(get(first_bridge(json), "values"), "motor_rad_s");
    for (size_t i = 0; i < COUNT(at); i++) {
        const cJSON *raising = get(position(json, at[i]), "raising");
        double wanted = torque[i] * string_arm[i] / arm[i];
        double current = 1 + wanted / constant;
        assert_near(number(raising, "torque_n_m"), wanted, 2e-6);
        assert_near(number(raising, "current_a"), current, 1e-6);
        assert_near(number(raising, "voltage_v"), current * 12 / 42 + constant * motor_rad_s, 1e-6);
    }
    assert_near(number(get(first_bridge(json), "values"), "stall_torque_n_m"), 0.272999448, 1e-8);
    cJSON_Delete(json);
}

static void verdicts_come_with_value_margin_and_words(void **state) {
    (void)state;
    write_file(example);
    cJSON *json = reckon(OUTCOME_DONE);
    const cJSON *ceiling = verdict(json, "ceiling"); /* scan of 200001 positions */
    assert_near(number(ceiling, "value"), 0.11639798, 1e-7);
    assert_near(number(ceiling, "margin"), 0.10639798, 1e-7);
    assert_near(number(ceiling, "position"), 82, 1e-9);
    assert_string_equal(get(ceiling, "words")->valuestring,
                        "clears the ceiling by 116 mm at 82 deg (toe, deck)");
    assert_string_equal(get(ceiling, "state")->valuestring, "good");
    assert_string_equal(get(ceiling, "unit")->valuestring, "m");
    assert_near(number(position(json, 82), "highest_m"), 3.48360202, 1e-7);
    assert_near(number(position(json, 0), "highest_m"), 1.1 + 0.62, 1e-12); /* as written */
    assert_near(number(position(json, 0), "lowest_m"), 1.1 + 0.05, 1e-12);
    assert_near(number(position(json, 0), "rearmost_m"), 0.7, 1e-12);
    /* A friction of 0.046984631 is where this worm only just locks. */
    const cJSON *values = get(first_bridge(json), "values");
    assert_near(number(values, "worm_margin"), 0.06 / 0.046984631, 1e-6);
    /* It locks; half of what the motor takes to run free, and the brake, are there on top. */
    const cJSON *hold = verdict(json, "hold");
    assert_string_equal(get(values, "held_by")->valuestring, "the worm");
    assert_true(number(hold, "value") > 0.06 / 0.046984631);
    assert_near(number(values, "motor_rest_n_m"), 0.00665852313 / 2, 1e-6);
    /* v t + v^2/2a + pickup + margin, less than the 2 m there are: but it coasts only once all of
     * its pickup is dead, so that the reaction time does not count. */
    assert_near(number(verdict(json, "stop-section"), "least"), 1.21666667 - 0.5 * 0.2, 1e-8);
    assert_near(number(verdict(json, "approach"), "least"), 0.516666667, 1e-8);
    cJSON_Delete(json);
}

/* The current watches that the daemon would run with, against the current that moving takes. */
static void watches_lie_above_what_moving_takes(void **state) {
    (void)state;
    struct tool_run ran = {0};
    tool_run_words(&ran, "reckon " SOURCE_DIR "/config/kettle-narrows.json --json");
    cJSON *json = cJSON_Parse(ran.out);
    const cJSON *watches = get(first_bridge(json), "watches");
    double margin = number(watches, "binding_margin_a");
    assert_true(margin > 0);
    assert_near(cJSON_GetArrayItem(get(watches, "binding_raising_a"), 0)->valuedouble,
                number(get(position(json, 0), "raising"), "current_a") + margin, 1e-9);
    assert_near(cJSON_GetArrayItem(get(watches, "binding_lowering_a"), 16)->valuedouble,
                number(get(position(json, 75), "lowering"), "current_a") + margin, 1e-9);
    assert_near(number(watches, "stall_a"), number(verdict(json, "stall-watch"), "value"), 1e-9);
    cJSON_Delete(json);
    tool_run_free(&ran);
}

/* --- verdicts, exit codes and what is missing --- */

static void print_exit(const char *where, const char *value, enum outcome outcome) {
    write_patched(where, value);
    struct tool_run ran = run("--quiet");
    if (ran.outcome != outcome || ran.out[0] != '\0') {
        fail_msg("%s %s ended %d, not %d: %s", where, value, ran.outcome, outcome, ran.err);
    }
    tool_run_free(&ran);
}

static void exit_codes_tell_good_bad_and_wrong(void **state) {
    (void)state;
    print_exit("/bridges/0/lift/travel", "\"82 deg\"", OUTCOME_DONE);
    print_exit("/bridges/0/room/ceiling", "\"3.49 m\"", OUTCOME_REFUSED); /* 6 mm: 10 are wanted */
    print_exit("/bridges/0/leaf/seat/most", "\"11 N\"", OUTCOME_REFUSED);
    print_exit("/bridges/0/supply/current", "\"1 A\"", OUTCOME_REFUSED);
    print_exit("/bridges/0/room/ceiling", "3.6", OUTCOME_CONFIGURATION);
    print_exit("/bridges/0/motor", NULL, OUTCOME_CONFIGURATION);
    assert_int_equal(OUTCOME_REFUSED, 1);
    assert_int_equal(OUTCOME_CONFIGURATION, 78); /* EX_CONFIG, sysexits.h */
    assert_int_equal(unlink(file), 0);
    tool_run_ends(run(""), OUTCOME_CONFIGURATION, "cannot be read", "wrong in 1 places");
}

/* The daemon refuses such a configuration; the report explains it. */
static void what_would_not_work_is_reckoned_all_the_same(void **state) {
    (void)state;
    write_patched("/bridges/0/motion/full speed", "\"10 deg/s\"");
    cJSON *json = reckon(OUTCOME_REFUSED);
    assert_string_equal(get(verdict(json, "voltage"), "state")->valuestring, "bad");
    assert_true(number(verdict(json, "voltage"), "margin") < 0);
    const cJSON *wrong = cJSON_GetArrayItem(get(json, "wrong"), 0);
    assert_string_equal(get(wrong, "where")->valuestring, "/bridges/0/motion/full speed");
    cJSON_Delete(json);
}

static void missing_values_are_named_with_what_to_measure(void **state) {
    (void)state;
    static const struct {
        const char *where, *about, *measure;
    } rows[] = {
        {"/bridges/0/leaf/outline", "ceiling", "tape and a level"},
        {"/bridges/0/room", "ceiling", "plumb line"},
        {"/bridges/0/leaf/toe", "seat", "middle of the toe's bearing"},
        {"/bridges/0/leaf/seat", "seat", "spring scale"},
        {"/bridges/0/supply/current", "supply", "nameplate"},
        {"/bridges/0/leaf/friction", "torque", "half the difference"},
        {"/bridges/0/tracks/0/trains", "stop-section", "coasts"},
        {"/bridges/0/tracks/0/ends/0/approach length", "approach", "along the rail"},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        write_patched(rows[i].where, NULL);
        cJSON *json = reckon(OUTCOME_DONE); /* not known is not bad */
        const cJSON *missing = get(verdict(json, rows[i].about), "missing");
        assert_int_equal(cJSON_GetArraySize(missing), 1);
        const cJSON *item = cJSON_GetArrayItem(missing, 0);
        assert_string_equal(get(item, "where")->valuestring, rows[i].where);
        tool_run_says(get(item, "measure")->valuestring, rows[i].measure);
        cJSON_Delete(json);
        tool_run_ends(run(""), OUTCOME_DONE, rows[i].where, "");
    }
}

static void wrong_values_are_named_with_what_to_measure(void **state) {
    (void)state;
    write_patched("/bridges/0/motor/stall current", "42");
    struct tool_run ran = run("");
    tool_run_says(ran.out, "/bridges/0/motor/stall current:");
    tool_run_says(ran.out, "to measure: an ohmmeter");
    tool_run_says(ran.out, "CAUTION");
    tool_run_ends(ran, OUTCOME_CONFIGURATION, "Wrong", "wrong in 1 places");
    cJSON *json = reckon(OUTCOME_CONFIGURATION);
    assert_int_equal(cJSON_GetArraySize(get(json, "bridges")), 0);
    assert_int_equal(cJSON_GetArraySize(get(json, "wrong")), 1);
    tool_run_says(get(json, "caution")->valuestring, "not a safety device");
    cJSON_Delete(json);
}

/* 2 kg at 0.575 m are 4.7 N at the toe, and 11.2 N of 4 to 12 N leave 0.8 N. */
static void what_is_not_known_well_enough_is_named_with_what_to_measure(void **state) {
    (void)state;
    write_patched("/bridges/0/leaf/counterweight/mass", "\"58 kg +- 2 kg\"");
    cJSON *json = reckon(OUTCOME_DONE);
    const cJSON *seat = verdict(json, "seat");
    assert_string_equal(get(seat, "state")->valuestring, "unsure");
    assert_near(number(seat, "spread"), 2 * 0.575 * 9.80665 / 2.4, 1e-9);
    assert_string_equal(get(seat, "measure_first")->valuestring,
                        "/bridges/0/leaf/counterweight/mass");
    assert_true(cJSON_IsNull(get(verdict(json, "ceiling"), "spread")));
    cJSON_Delete(json);
    tool_run_ends(run(""), OUTCOME_DONE, "measure /bridges/0/leaf/counterweight/mass first", "");
}

/* 48 lb 8 oz and 47 lb are written in pounds, the motor's torque in oz in, lengths in centimetres
 * for the most part. Programs get SI. */
static void texts_speak_the_units_of_the_file_and_json_speaks_si(void **state) {
    (void)state;
    struct tool_run ran = {0};
    tool_run_words(&ran, "reckon " SOURCE_DIR "/config/harbor-lift.json --plots " BINARY_DIR);
    tool_run_says(ran.out, "moving mass                               95.82 lb");
    tool_run_says(ran.out, "stall torque at the supply                   35 oz in");
    tool_run_says(ran.out, "clears the ceiling by 58 mm at 450 mm");
    tool_run_free(&ran);
    char *plot = config_text_of_file(BINARY_DIR "/harbor-lift-torque.svg");
    assert_non_null(strstr(plot, "motor torque, oz in"));
    assert_non_null(strstr(plot, "imbalance, N"));
    free(plot);
    ran = (struct tool_run){0};
    tool_run_words(&ran, "reckon " SOURCE_DIR "/config/harbor-lift.json --json");
    cJSON *json = cJSON_Parse(ran.out);
    const cJSON *values = get(first_bridge(json), "values");
    assert_near(number(values, "mass_kg"), 95.5 * 0.45359237 + 4 * 0.04 * 0.9, 1e-9);
    assert_near(number(values, "stall_torque_n_m"), 35 * 0.00706155181, 1e-7);
    cJSON_Delete(json);
    tool_run_free(&ran);
}

static void weights_that_would_be_better_are_named(void **state) {
    (void)state;
    write_patched("/bridges/0/leaf/seat/most", "\"8 N\"");
    cJSON *json = reckon(OUTCOME_REFUSED);
    /* g (58 kg and more) x 0.575 m takes off what 11.1754949 N at 2.4 m have over 4 and 8 N. */
    const cJSON *weights = get(first_bridge(json), "weights");
    double kg_for_n = 2.4 / (9.80665 * 0.575);
    assert_near(number(weights, "counterweight_least_kg"), 58 + 3.1754949 * kg_for_n, 1e-8);
    assert_near(number(weights, "counterweight_most_kg"), 58 + 7.1754949 * kg_for_n, 1e-8);
    cJSON_Delete(json);
    tool_run_ends(run(""), OUTCOME_REFUSED, "nearest better: counterweight 59.35 to 61.05 kg",
                  "bad verdicts: 1;");
}

/* --- text and plots --- */

static void text_has_every_table(void **state) {
    (void)state;
    static const char *const words[] = {
        "CAUTION",
        "Verdicts     margin",
        "good       106 mm  clears the ceiling by 116 mm at 82 deg (toe, deck)",
        "Weights: good as they are",
        "Lift and motor",
        "moving mass                                93.7 kg",
        "Over the opening",
        "    20.0   196.6  0.5957     20.41",
        "Speed over time",
    };
    write_file(example);
    struct tool_run ran = run("");
    for (size_t i = 0; i < COUNT(words); i++) {
        tool_run_says(ran.out, words[i]);
    }
    tool_run_ends(ran, OUTCOME_DONE, "", "");
}

/* Every topic is in the text by its title, and in JSON by its key, with rows that have words; one
 * without a name here has only rows that want to know more. */
static void what_a_builder_asks_is_told(void **state) {
    (void)state;
    static const struct {
        const char *title, *key, *about;
    } topics[] = {{"Motor heat and duty", "heat", "winding-evening"},
                  {"Loads on teeth", "loads", "jam-force"},
                  {"A hand at the toe", "hold", "push"},
                  {"Backlash", "backlash", "play-rack"},
                  {"Stiffness of the leaf", "stiffness", NULL},
                  {"Scale: what would look right", "scale", NULL}};
    write_file(example);
    struct tool_run ran = run("");
    cJSON *json = reckon(OUTCOME_DONE);
    for (size_t i = 0; i < COUNT(topics); i++) {
        const cJSON *row, *found = NULL;
        tool_run_says(ran.out, topics[i].title);
        cJSON_ArrayForEach(row, get(get(first_bridge(json), "findings"), topics[i].key)) {
            bool is_wanted = topics[i].about == NULL ||
                             strcmp(get(row, "about")->valuestring, topics[i].about) == 0;
            found = is_wanted ? row : found;
        }
        assert_non_null(found);
        assert_true(topics[i].about == NULL || isfinite(number(found, "value")));
        tool_run_says(ran.out, get(found, "words")->valuestring);
    }
    cJSON_Delete(json);
    tool_run_ends(ran, OUTCOME_DONE, "", "");
}

static const char *const plots[] = {"leaf", "torque", "current", "speed", "loads", "heat"};

static void plot_path(char *path, size_t size, const char *plot) {
    snprintf(path, size, "%s/a--b-----c--%s.svg", folder, plot);
}

/* xmllint: of libxml2-utils. */
static void assert_well_formed(const char *path) {
    char command[600];
    snprintf(command, sizeof command, "xmllint --noout --nonet '%s'", path);
    assert_int_equal(system(command), 0);
}

static void plots_are_well_formed_and_say_what_they_show(void **state) {
    (void)state;
    static const char *const words[COUNT(plots)][4] = {
        {"positions of the span", "82 deg, open", "clears the ceiling by 116 mm", "height, m"},
        {"imbalance, N m", "motor torque, mN m", "raising", "lowering"},
        {"current, A", "voltage, V", "supply", "opening, deg"},
        {"speed, deg/s", "opening, deg", "time, s", "closing"},
        {"rack or rope, N", "axis, N", "raising", "opening, deg"},
        {"temperature, degC", "winding", "case", "limit"},
    };
    char options[256];
    mkdir(folder, 0777);
    write_file(example);
    snprintf(options, sizeof options, "--quiet --plots %s", folder);
    tool_run_ends(run(options), OUTCOME_DONE, "", "");
    for (size_t i = 0; i < COUNT(plots); i++) {
        char path[512];
        plot_path(path, sizeof path, plots[i]);
        assert_well_formed(path);
        char *text = config_text_of_file(path);
        tool_run_says(text, "A &lt;b&gt; &amp; &quot;c&quot;: ");
        for (size_t w = 0; w < COUNT(words[i]); w++) {
            tool_run_says(text, words[i][w]);
        }
        assert_null(strstr(text, "nan"));
        assert_null(strstr(text, "inf"));
        assert_null(strstr(text, "<script"));
        assert_null(strstr(text, "href"));
        free(text);
        unlink(path);
    }
}

static void plots_that_cannot_be_written_are_an_error(void **state) {
    (void)state;
    write_file(example);
    tool_run_ends(run("--quiet --plots /nowhere/at/all"), OUTCOME_UNWRITTEN, "",
                  "/nowhere/at/all/a--b-----c--leaf.svg: No such file");
}

static void every_kind_of_lift_is_reckoned(void **state) {
    (void)state;
    static const char *const names[] = {"kettle-narrows", "harbor-lift", "mill-swing",
                                        "garden-gate"};
    mkdir(folder, 0777);
    for (size_t i = 0; i < COUNT(names); i++) {
        struct tool_run ran = {0};
        char arguments[600];
        snprintf(arguments, sizeof arguments, "reckon " SOURCE_DIR "/config/%s.json --plots %s",
                 names[i], folder);
        tool_run_words(&ran, arguments);
        for (size_t p = 0; p < COUNT(plots); p++) {
            char path[512];
            snprintf(path, sizeof path, "%s/%s-%s.svg", folder, names[i], plots[p]);
            bool is_hand = strcmp(names[i], "garden-gate") == 0;
            assert_int_equal(access(path, F_OK) == 0, !is_hand);
            if (!is_hand) {
                assert_well_formed(path);
                unlink(path);
            }
        }
        tool_run_ends(ran, OUTCOME_DONE, "Verdicts", "");
    }
}

/* A sector, and a rolling lift: the same leaf on other teeth. */
static void sector_and_rolling_lifts_are_reckoned(void **state) {
    (void)state;
    static const char *const lifts[] = {
        "{\"kind\": \"sector\", \"travel\": \"75 deg\", \"radius\": \"10 in\"}",
        "{\"kind\": \"rolling\", \"travel\": \"70 deg\", \"radius\": \"40 cm\"}"};
    static const double arms[] = {0.254, 0.4};
    for (size_t i = 0; i < COUNT(lifts); i++) {
        write_patched("/bridges/0/lift", lifts[i]);
        struct tool_run ran = run("--json");
        cJSON *json = cJSON_Parse(ran.out);
        assert_near(number(position(json, 20), "arm"), arms[i], 1e-12);
        assert_near(number(position(json, 20), "imbalance_n_m"), 20.4073495, 1e-7);
        assert_true(number(verdict(json, "ceiling"), "value") > 0);
        cJSON_Delete(json);
        tool_run_free(&ran);
    }
}

/* A bridge as its owner can measure it with a tape, a scale and by counting teeth: 540-size motor,
 * 16:1 planetary, 25:1 worm, 16 teeth of 32 DP on the rack of a leaf of 2.25 m and 45 kg (common
 * practice, no source). The motor has no sheet. */
#define BUILT(motor)                                                                               \
    "{\"bridges\": [{\"name\": \"Attic\","                                                         \
    "\"lift\": {\"kind\": \"sector\", \"travel\": \"80 deg +- 2 deg\", \"radius\": \"40 cm +- 5 "  \
    "mm\"},"                                                                                       \
    "\"leaf\": {\"masses\": [{\"mass\": \"45 kg +- 1 kg\", \"at\": [\"95 cm +- 2 cm\", \"5 "       \
    "cm\"]}],"                                                                                     \
    "\"counterweight\": {\"mass\": \"60 kg +- 1 kg\", \"at\": [\"-70 cm +- 5 mm\", \"-5 cm\"]},"   \
    "\"toe\": \"2.25 m\", \"friction\": \"4 N m +- 1 N m\"},"                                      \
    "\"drive\": {\"pinion\": {\"teeth\": 16, \"pitch\": \"32 DP\"}, \"gearbox\": {\"ratio\": "     \
    "\"16:1\"},"                                                                                   \
    "\"worm\": {\"ratio\": \"25:1\", \"lead angle\": \"2.3 deg\", \"least friction\": 0.05,"       \
    "\"most friction\": 0.12}}," motor "\"supply\": {\"voltage\": \"12 V\"},"                      \
    "\"motion\": {\"full speed\": \"1.5 deg/s +- 3 %\"}, \"lock\": {\"driven\": false},"           \
    "\"contacts\": {\"seated\": true, \"locked\": true, \"withdrawn\": true, \"open\": true},"     \
    "\"tracks\": [{\"name\": \"main\", \"ends\": [{\"name\": \"west\"}]}]}]}"

/* Rack and gears: 1.5 deg/s x 40 cm / 6.35 mm x 400 = 0.026180 x 62.992 x 400 = 659.7 rad/s, 6299
 * rpm of the motor. */
static void what_an_owner_knows_is_reckoned_and_the_rest_named(void **state) {
    (void)state;
    write_file(BUILT(""));
    cJSON *json = reckon(OUTCOME_CONFIGURATION);
    assert_near(number(get(first_bridge(json), "values"), "motor_rad_s"), 659.7, 0.1);
    assert_true(number(verdict(json, "opening"), "value") > 55);
    assert_string_equal(get(verdict(json, "voltage"), "state")->valuestring, "unknown");
    const cJSON *missing = cJSON_GetArrayItem(get(verdict(json, "voltage"), "missing"), 0);
    assert_string_equal(get(missing, "where")->valuestring, "/bridges/0/motor");
    assert_non_null(strstr(get(missing, "measure")->valuestring, "drawtender measure motor"));
    const cJSON *wrong = get(json, "wrong");
    assert_int_equal(cJSON_GetArraySize(wrong), 1);
    cJSON_Delete(json);
    struct tool_run made = run("");
    assert_null(strstr(made.out, "inf"));
    assert_null(strstr(made.out, "nan"));
    tool_run_ends(made, OUTCOME_CONFIGURATION, "motor's voltage at full speed not judged",
                  "lacks 1 values; what it has is reckoned");
}

/* With what such a motor does on the bench: 45 turns make some 1350 rpm a volt, +- 5 % as a
 * tachometer reads, 0.35 ohm and 0.6 A free (from memory of such motors, not of this bridge). The
 * bridge was opened at 4.5 to 5 V, at a low current. */
static void the_built_bridge_opens_at_the_voltage_at_which_it_did(void **state) {
    (void)state;
    write_file(BUILT("\"motor\": {\"voltage\": \"7.2 V\", \"no-load speed\": \"9440 rpm +- 5 %\","
                     "\"no-load current\": \"0.6 A\", \"stall torque\": \"141 mN m\","
                     "\"stall current\": \"20.6 A\"},"));
    cJSON *json = reckon(OUTCOME_DONE);
    const cJSON *voltage = verdict(json, "voltage");
    double least_v = number(voltage, "value") - number(voltage, "spread");
    double most_v = number(voltage, "value") + number(voltage, "spread");
    if (most_v < 4.5 || least_v > 5) {
        fail_msg("%g to %g V", least_v, most_v);
    }
    cJSON_Delete(json);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(imbalance_is_as_worked_out),
        cmocka_unit_test(rack_and_arm_are_as_worked_out),
        cmocka_unit_test(motor_torque_and_current_are_as_worked_out),
        cmocka_unit_test(verdicts_come_with_value_margin_and_words),
        cmocka_unit_test(watches_lie_above_what_moving_takes),
        cmocka_unit_test(exit_codes_tell_good_bad_and_wrong),
        cmocka_unit_test(what_would_not_work_is_reckoned_all_the_same),
        cmocka_unit_test(missing_values_are_named_with_what_to_measure),
        cmocka_unit_test(wrong_values_are_named_with_what_to_measure),
        cmocka_unit_test(what_is_not_known_well_enough_is_named_with_what_to_measure),
        cmocka_unit_test(texts_speak_the_units_of_the_file_and_json_speaks_si),
        cmocka_unit_test(weights_that_would_be_better_are_named),
        cmocka_unit_test(text_has_every_table),
        cmocka_unit_test(what_a_builder_asks_is_told),
        cmocka_unit_test(plots_are_well_formed_and_say_what_they_show),
        cmocka_unit_test(plots_that_cannot_be_written_are_an_error),
        cmocka_unit_test(every_kind_of_lift_is_reckoned),
        cmocka_unit_test(sector_and_rolling_lifts_are_reckoned),
        cmocka_unit_test(what_an_owner_knows_is_reckoned_and_the_rest_named),
        cmocka_unit_test(the_built_bridge_opens_at_the_voltage_at_which_it_did),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
