/* The balance test: from files, from a spring scale, and recorded from the daemon itself. */
#include "config/config.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/core/core_near.h"
#include "support/daemon/daemon.h"
#include "support/tool/tool_run.h"
#include "tools/drawtender/base/file_text.h"
#include "tools/drawtender/base/json_edit.h"
#include "tools/drawtender/sizing/samples.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* The Kettle Narrows drawbridge without trains; its leaf as in the file. */
static const char bridge[] = SOURCE_DIR "/tests/daemon/quiet-bridge.json";
static const char pace[] = "20"; /* see test_with_daemon.c */

/* First moments of the leaf of quiet-bridge.json, kg.m: masses times places. */
static const double sx_kg_m = 11 * 1.15 + 16 * 1.1 + 1.5 * 2.27 + 2.5 * -0.1 + 40 * -0.8;
static const double sy_kg_m = 11 * 0.01 + 16 * 0.22 + 1.5 * 0.02 + 2.5 * 0.05 + 40 * -0.06;
static const double friction_n_m = 3.2;

static struct tool_run run(uint16_t port, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static struct tool_run run(uint16_t port, const char *format, ...) {
    char words[512];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(words, sizeof words, format, arguments);
    va_end(arguments);
    struct tool_run made = {.port = port};
    tool_run_words(&made, words);
    return made;
}

static void path_of(char path[64], const char *name) {
    snprintf(path, 64, "/tmp/drawtender-%d-%s", (int)getpid(), name);
}

/* ---- samples */

static void samples_are_read_and_slips_named(void **state) {
    (void)state;
    static const struct {
        const char *text;
        size_t count;
        const char *where; /* NULL: taken */
    } cases[] = {
        {SAMPLES_HEADING "\nup,1.5,2.0,1.25\ndown,3,-2,1.0\r\n", 2, NULL},
        {SAMPLES_HEADING "\n\nup,1,2,3", 1, NULL},
        {"[{\"way\":\"up\",\"position_deg\":1,\"speed_deg_s\":2,\"current_a\":3}]", 1, NULL},
        {"", 0, ""},
        {"up,1,2,3\n", 0, "line 1"},
        {SAMPLES_HEADING "\nup,1,2\n", 0, "line 2"},
        {SAMPLES_HEADING "\nup,1,2,3,4\n", 0, "line 2"},
        {SAMPLES_HEADING "\nup,1,2,3\nsideways,1,2,3\n", 1, "line 3"},
        {SAMPLES_HEADING "\nup,1,nan,3\n", 0, "line 2"},
        {SAMPLES_HEADING "\nup,1e9,2,3\n", 0, "line 2"},
        {SAMPLES_HEADING "\nup,x,2,3\n", 0, "line 2"},
        {"[1]", 0, "/0"},
        {"[{\"way\":\"up\",\"position_deg\":1,\"speed_deg_s\":2}]", 0, "/0"},
        {"[", 0, ""},
    };
    struct samples *samples = calloc(1, sizeof *samples);
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct error error = {.where = "none"};
        samples->count = 0;
        bool is_read = samples_parse(cases[i].text, false, samples, &error);
        assert_int_equal(is_read, cases[i].where == NULL);
        assert_int_equal(samples->count, cases[i].count);
        if (!is_read) {
            assert_string_equal(error.where, cases[i].where);
        }
    }
    free(samples);
}

static void more_samples_than_fit_are_refused(void **state) {
    (void)state;
    struct samples *samples = calloc(1, sizeof *samples);
    struct error error;
    samples->count = SAMPLES_MAX - 1;
    assert_true(samples_parse(SAMPLES_HEADING "\nup,1,2,3\n", true, samples, &error));
    assert_true(samples->sample[SAMPLES_MAX - 1].is_loaded);
    assert_false(samples_parse(SAMPLES_HEADING "\nup,1,2,3\n", true, samples, &error));
    free(samples);
}

/* ---- without a daemon */

static void wrong_words_are_a_usage_error(void **state) {
    (void)state;
    static const char *const words[] = {
        "guess", "fit", "fit a b", "spring 3N", "trend", "spring lots little", "record"};
    for (size_t i = 0; i < COUNT(words); i++) {
        tool_run_ends(run(1, "balance %s %s", bridge, words[i]), OUTCOME_USAGE, "", "drawtender: ");
    }
    tool_run_ends(run(1, "balance /no/such.json trend x"), OUTCOME_CONFIGURATION, "", "wrong");
    tool_run_ends(run(1, "balance %s fit /no/such.csv", bridge), OUTCOME_CONFIGURATION, "", "");
}

static void a_bridge_without_such_a_balance_is_told_why(void **state) {
    (void)state;
    static const char *const cases[][2] = {{"harbor-lift.json", "balanced on a scale"},
                                           {"mill-swing.json --bus 3", "rests on its pivot"},
                                           {"garden-gate.json", "lifted by hand"}};
    for (size_t i = 0; i < COUNT(cases); i++) {
        tool_run_ends(run(1, "balance %s/config/%s trend x", SOURCE_DIR, cases[i][0]),
                      OUTCOME_REFUSED, "", cases[i][1]);
    }
}

/* A slow lift and let-down by hand: 12.9 N up and 9.5 N down at 2.3 m are M = 25.76 N.m and F
 * = 3.91 N.m (half the sum, half the difference; with the toe at 2.4 m the 26.88 and 4.08 N.m of
 * the worked example T8). */
static void spring_scale_gives_balance_and_friction(void **state) {
    (void)state;
    const char *example = SOURCE_DIR "/config/kettle-narrows.json";
    tool_run_ends(run(1, "balance %s spring 12.9N 9.5N", example), OUTCOME_DONE,
                  "25.76 N m on the "
                  "seat (11.2 N",
                  "");
    tool_run_ends(run(1, "balance %s spring 12.9N 9.5N", example), OUTCOME_DONE,
                  "friction 3.91 N m", "");
    tool_run_ends(run(1, "balance %s spring 12.9N 9.5N", example), OUTCOME_DONE, "Blocks to move",
                  "");
    struct tool_run made = run(1, "balance %s spring 12.9N 9.5N --json", example);
    cJSON *object = cJSON_Parse(made.out);
    assert_near(cJSON_GetNumberValue(cJSON_GetObjectItem(object, "toe_reaction_n")), 11.2, 1e-9);
    assert_non_null(cJSON_GetObjectItem(cJSON_GetObjectItem(object, "weights"), "pockets"));
    cJSON_Delete(object);
    tool_run_ends(made, OUTCOME_DONE, "", "");
    tool_run_ends(run(1, "balance %s spring 9.5N 12.9N", example), OUTCOME_USAGE, "",
                  "swap the two");
}

/* 6 N at the toe are within 4 to 10 N, 16 N are not. */
static void a_counterweight_that_is_right_is_left_alone(void **state) {
    (void)state;
    char path[64];
    struct error error;
    path_of(path, "seat.json");
    char *text = file_text_read(bridge, &error);
    char *seated = json_edit_set(text, "/bridges/0/leaf/seat",
                                 "{\"least\": \"4 N\", \"most\": \"10 N\"}", &error);
    assert_non_null(seated);
    assert_true(file_text_replace(path, seated, &error));
    tool_run_ends(run(1, "balance %s spring 8N 4N", path), OUTCOME_DONE,
                  "Counterweight: good as it is, from 38.83 to 40.59 kg", "");
    tool_run_ends(run(1, "balance %s spring 18N 14N", path), OUTCOME_DONE, "instead of 40.00 kg",
                  "");
    free(text);
    free(seated);
    unlink(path);
}

/* ---- recorded */

static double number_at(const cJSON *object, const char *name, const char *part) {
    return cJSON_GetNumberValue(cJSON_GetObjectItem(cJSON_GetObjectItem(object, name), part));
}

static void assert_within(const cJSON *object, const char *name, double truth) {
    double value = number_at(object, name, "value");
    double error = number_at(object, name, "error");
    if (!(fabs(value - truth) <= 3 * error)) {
        fail_msg("%s: %g is more than three times %g from %g", name, value, error, truth);
    }
}

/* Records one opening of the simulated bridge of this configuration. */
static void record(const char *config, const char *samples) {
    struct daemon_run daemon;
    daemon_start(&daemon, config, pace);
    tool_run_ends(run(daemon.port, "wait lined"), OUTCOME_DONE, "", "");
    tool_run_ends(run(daemon.port, "balance %s record %s", bridge, samples), OUTCOME_DONE,
                  "samples in", "CAUTION");
    daemon_end(&daemon, SIGTERM);
}

static cJSON *fitted(enum outcome outcome, const char *words) {
    struct tool_run made = run(1, "balance %s fit %s --json", bridge, words);
    cJSON *object = cJSON_Parse(made.out);
    assert_non_null(object);
    tool_run_ends(made, outcome, "", "");
    return object;
}

/* Through this worm, known no better than its friction is, the drive does not show the balance, and
 * says so; what it gives with its errors is true all the same. With a known weight at the toe the
 * friction need not be known. */
static void recorded_runs_give_the_balance_with_honest_errors(void **state) {
    (void)state;
    char light[64], loaded[64], config[64], words[160];
    struct error error;
    path_of(light, "light.csv");
    path_of(loaded, "loaded.csv");
    path_of(config, "loaded.json");
    record(bridge, light);
    cJSON *object = fitted(OUTCOME_REFUSED, light);
    assert_within(object, "moment_seated_n_m", NUMBER_GRAVITY_M_S2 * sx_kg_m);
    assert_within(object, "moment_at_90_deg_n_m", -NUMBER_GRAVITY_M_S2 * sy_kg_m);
    assert_within(object, "friction_n_m", friction_n_m);
    assert_true(number_at(object, "moment_seated_n_m", "error") > 2.5);
    assert_true(cJSON_IsFalse(cJSON_GetObjectItem(object, "is_seen")));
    cJSON_Delete(object);
    tool_run_ends(run(1, "balance %s fit %s", bridge, light), OUTCOME_REFUSED, "spring scale",
                  "does not show the balance");

    char *text = file_text_read(bridge, &error); /* the toe beam weighs 500 g more */
    char *heavier = json_edit_set(text, "/bridges/0/leaf/masses/2/mass", "\"2 kg\"", &error);
    assert_true(file_text_replace(config, heavier, &error));
    record(config, loaded);
    snprintf(words, sizeof words, "%s %s 500g 2.27m 20mm", light, loaded);
    object = fitted(OUTCOME_DONE, words);
    assert_true(cJSON_IsTrue(cJSON_GetObjectItem(object, "is_gain_measured")));
    assert_within(object, "moment_seated_n_m", NUMBER_GRAVITY_M_S2 * sx_kg_m);
    assert_within(object, "moment_at_90_deg_n_m", -NUMBER_GRAVITY_M_S2 * sy_kg_m);
    assert_within(object, "friction_n_m", friction_n_m);
    assert_true(number_at(object, "moment_seated_n_m", "error") < 2.5);
    cJSON_Delete(object);
    free(text);
    free(heavier);
    unlink(light);
    unlink(loaded);
    unlink(config);
}

/* ---- trend: openings made up of M = 14 cos t N.m and a friction, as currents of this drive */

/* `off`: how many times the worm's friction is what it is said to be. */
static void write_opening(const char *path, double friction, double off) {
    struct config *config = calloc(1, sizeof *config);
    struct config_report *report = calloc(1, sizeof *report);
    assert_true(config_read_file(bridge, config, report));
    const struct chain *chain = &config->bridge[0].sizing.chain;
    double mu = off * (chain->drive.worm.mu_low + chain->drive.worm.mu_high) / 2;
    FILE *file = fopen(path, "w");
    samples_print_heading(file);
    for (int way = 1; way >= -1; way -= 2) {
        for (int i = 2; i <= 70; i += 2) {
            double t = i * NUMBER_PI / 180;
            double arm = lift_rack_arm(&chain->lift, t);
            double force = drive_rack_force_n(way * 14 * cos(t), friction, 0, arm);
            struct balance_sample sample = {
                .position_rad = t,
                .speed_rad_s = 100 / drive_motor_per_position(&chain->drive, arm),
                .current_a = motor_current_a(&chain->motor,
                                             drive_motor_torque_n_m(&chain->drive, force, mu)),
                .is_raising = way > 0};
            samples_print(file, &sample);
        }
    }
    fclose(file);
    free(config);
    free(report);
}

static void check_trend(const double friction[], size_t count, enum outcome outcome,
                        const char *words, const char *err) {
    char line[512] = "";
    for (size_t i = 0; i < count; i++) {
        char name[32], path[64];
        snprintf(name, sizeof name, "o%zu.csv", i);
        path_of(path, name);
        write_opening(path, friction[i], 1);
        snprintf(line + strlen(line), sizeof line - strlen(line), " %s", path);
    }
    tool_run_ends(run(1, "balance %s trend%s", bridge, line), outcome, words, err);
    for (size_t i = 0; i < count; i++) {
        char name[32], path[64];
        snprintf(name, sizeof name, "o%zu.csv", i);
        path_of(path, name);
        unlink(path);
    }
}

/* Runs of a worm that rubs otherwise than the file says: the model does not explain them, and no
 * weights follow. */
static void a_fit_that_no_span_can_have_ends_without_weights(void **state) {
    (void)state;
    char path[64];
    path_of(path, "misfit.csv");
    write_opening(path, 3.2, 2.5);
    tool_run_ends(run(1, "balance %s fit %s", bridge, path), OUTCOME_REFUSED,
                  "The samples stray from the fit by",
                  "the drive's data do not fit: hang a known weight at the toe and record again");
    struct tool_run made = run(1, "balance %s fit %s --json", bridge, path);
    cJSON *object = cJSON_Parse(made.out);
    assert_true(cJSON_IsFalse(cJSON_GetObjectItem(object, "is_fitting")));
    assert_true(cJSON_IsNull(cJSON_GetObjectItem(object, "weights")));
    assert_null(strstr(made.out, "counterweight"));
    cJSON_Delete(object);
    tool_run_ends(made, OUTCOME_REFUSED, "", "");
    unlink(path);
}

/* 14 cos t N.m: its centre of gravity lies level with the axis. The motor's sheet says how far it
 * may be off. */
static void a_fit_names_a_wrong_balance_angle_and_the_motor(void **state) {
    (void)state;
    char path[64], config[64];
    struct error error;
    path_of(path, "level.csv");
    path_of(config, "level.json");
    char *text = file_text_read(bridge, &error);
    char *seated = json_edit_set(text, "/bridges/0/leaf/seat",
                                 "{\"least\": \"1 N\", \"most\": \"20 N\"}", &error);
    char *doubted =
        json_edit_set(seated, "/bridges/0/motor/stall current", "\"42 A +- 10 %\"", &error);
    assert_non_null(doubted);
    assert_true(file_text_replace(config, doubted, &error));
    write_opening(path, 3.2, 1);
    tool_run_ends(run(1, "balance %s fit %s", config, path), OUTCOME_DONE,
                  "But the balance angle 0 deg, wanted 30 +- 20 deg (the default of /leaf/seat/"
                  "balance angle): ",
                  "");
    struct tool_run made = run(1, "balance %s fit %s --json", config, path);
    cJSON *object = cJSON_Parse(made.out);
    /* Kt = stall torque / (stall current - no-load current): 4.2 A less of 42 A - 1 A. */
    double value = number_at(object, "moment_seated_n_m", "value");
    assert_true(fabs(number_at(object, "moment_seated_n_m", "error_of_motor") / value -
                     4.2 / (41 - 4.2)) < 0.01);
    cJSON_Delete(object);
    tool_run_ends(made, OUTCOME_DONE, "", "");
    unlink(path);
    unlink(config);
    free(text);
    free(seated);
    free(doubted);
}

static void trend_tells_rising_friction_from_scatter(void **state) {
    (void)state;
    static const double steady[] = {3.2, 3.3, 3.15, 3.25, 3.2, 3.22};
    static const double rising[] = {3.2, 3.4, 3.55, 3.8, 4.0, 4.15};
    check_trend(steady, 3, OUTCOME_DONE, "too few openings", "");
    check_trend(steady, 6, OUTCOME_DONE, "friction: within its usual scatter", "");
    check_trend(rising, 6, OUTCOME_REFUSED, "friction rises", "the friction has changed");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(samples_are_read_and_slips_named),
        cmocka_unit_test(more_samples_than_fit_are_refused),
        cmocka_unit_test(wrong_words_are_a_usage_error),
        cmocka_unit_test(a_bridge_without_such_a_balance_is_told_why),
        cmocka_unit_test(spring_scale_gives_balance_and_friction),
        cmocka_unit_test(a_counterweight_that_is_right_is_left_alone),
        cmocka_unit_test(recorded_runs_give_the_balance_with_honest_errors),
        cmocka_unit_test(a_fit_that_no_span_can_have_ends_without_weights),
        cmocka_unit_test(a_fit_names_a_wrong_balance_angle_and_the_motor),
        cmocka_unit_test(trend_tells_rising_friction_from_scatter),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
