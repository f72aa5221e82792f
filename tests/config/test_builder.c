/* What a builder's questions get from a configuration, and grades. */
#include "config/config.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <string.h>

static struct config config; /* too large for the stack */
static struct config_report report;

/* The demo with up to three values put in; NULL ends them. */
static bool read_with(const char *const (*patch)[2]) {
    size_t length;
    const char *demo = config_demo_text(&length);
    cJSON *tree = cJSON_ParseWithLength(demo, length);
    assert_non_null(tree);
    for (; (*patch)[0] != NULL; patch++) {
        config_text_patch(tree, (*patch)[0], (*patch)[1]);
    }
    char *text = cJSON_PrintUnformatted(tree);
    bool is_usable = config_read_text(text, strlen(text), &config, &report);
    cJSON_free(text);
    cJSON_Delete(tree);
    return is_usable;
}

#define WITH(...) read_with((const char *const[][2]){__VA_ARGS__, {NULL, NULL}})
#define B "/bridges/0"
#define WEST B "/tracks/0/ends/0"
#define EAST B "/tracks/0/ends/1"

static const struct builder_given *builder(void) {
    return &config.bridge[0].sizing.builder;
}

static void assert_near(double found, double wanted) {
    if (!(fabs(found - wanted) <= 1e-9 * fmax(1, fabs(wanted)))) {
        fail_msg("found %.12g, wanted %.12g", found, wanted);
    }
}

/* 0.4 m/s, coasting 0.08 m/s2, 0.2 % down: 0.4^2/2/(0.08 - 9.80665 x 0.002), 0.45 and 0.1 m. */
static void a_grade_lengthens_the_stop_section(void **state) {
    (void)state;
    assert_true(WITH({WEST "/grade", "\"-0.2 %\""}));
    const struct sizing_end *end = &config.bridge[0].sizing.end[0];
    assert_near(train_stop_dead_section_m(&end->dead), 0.08 / (0.08 - 0.0196133) + 0.55);
    assert_near(train_stop_distance_m(&end->braked), 0.4 + 0.08 / (0.25 - 0.0196133));
    assert_near(config.bridge[0].sizing.end[1].dead.grade, 0);
    assert_false(WITH({WEST "/grade", "\"-0.3 %\""}));
    assert_true(config_text_has(&report.errors, WEST "/stop length", "too short"));
    assert_true(WITH({WEST "/grade", "\"2 %\""}));
}

/* Down 0.9 % gravity pulls 0.088 m/s2, more than the train coasts to rest with. */
static void a_train_that_the_grade_pulls_away_is_refused(void **state) {
    (void)state;
    assert_false(WITH({WEST "/grade", "\"-0.9 %\""}));
    assert_true(config_text_has(&report.errors, WEST "/grade", "coasts to rest"));
    assert_false(WITH({WEST "/grade", "\"-3 %\""}));
    assert_true(config_text_has(&report.errors, WEST "/grade", "brakes"));
    assert_int_equal(report.errors.count, report.misfits);
    assert_true(isinf(train_stop_dead_section_m(&config.bridge[0].sizing.end[0].dead)));
}

/* 1.5 m take 3.75 s; but 1.5 % down it takes 1 + 0.4/(0.25 - 9.80665 x 0.015) s to stop. */
static void a_steeper_approach_locks_longer(void **state) {
    (void)state;
    assert_true(WITH({EAST "/approach length", "\"1.5 m\""}));
    assert_near(config.bridge[0].sizing.end[1].approach_lock_s, 5.75);
    assert_true(WITH({EAST "/approach length", "\"1.5 m\""}, {EAST "/grade", "\"-1.5 %\""},
                     {B "/tracks/0/trains/coasting", "\"0.3 m/s2\""}));
    double wanted_s = 3 + 0.4 / (0.25 - 9.80665 * 0.015);
    assert_true(fabs(config.bridge[0].sizing.end[1].approach_lock_s - wanted_s) < 1e-5);
}

static void defaults_are_as_documented(void **state) {
    (void)state;
    assert_true(WITH({B "/leaf/push", NULL}, {B "/scale", NULL}));
    assert_near(builder()->heat.limit_c, 105);
    assert_int_equal(builder()->duty.openings, 12);
    assert_near(builder()->backlash.rack_m, 0.0254 / 32 / 8);
    assert_near(builder()->backlash.worm_rad, NUMBER_PI / 360);
    assert_int_equal(builder()->stall_watch, BUILDER_WATCH_STALL);
    assert_near(builder()->stall_watch_s, 0.5);
    assert_near(builder()->push_n, 50);
    assert_true(isnan(builder()->joint_m));
}

static void what_is_given_arrives(void **state) {
    (void)state;
    assert_true(WITH({B "/scale", "\"1:12\""}, {B "/tracks/0/trains/mass", "\"6 kg\""},
                     {B "/tracks/0/trains/length", NULL},
                     {B "/tower", "{\"mass\": \"20 kg\", \"height\": \"1 m\", \"front\": \"30 cm\","
                                  " \"back\": \"-70 cm\", \"width\": \"50 cm\", \"screws\": 4,"
                                  " \"screw pull\": \"100 N\"}"}));
    assert_near(builder()->scale, 12);
    assert_near(builder()->joint_m, 0.025 / 12 / 3);
    assert_near(builder()->train[0].mass_kg, 6);
    assert_near(builder()->train[0].length_m, 2.3); /* of the rails on the span */
    assert_near(builder()->tower.screws_n, 400);
    assert_near(builder()->tower.screws_m, -0.2);
    assert_true(WITH({B "/scale", "12"}, {B "/joint", "\"1 mm\""}));
    assert_near(builder()->joint_m, 0.001);
}

static void what_cannot_be_is_refused(void **state) {
    (void)state;
    assert_false(WITH({B "/motor/heat", "{\"limit\": \"50 degC\", \"air\": \"60 degC\"}"}));
    assert_true(config_text_has(&report.errors, B "/motor/heat", "above the air"));
    assert_false(WITH({B "/tower", "{\"mass\": \"20 kg\", \"height\": \"1 m\", \"front\": \"0 m\","
                                   " \"back\": \"10 cm\", \"width\": \"50 cm\"}"}));
    assert_true(config_text_has(&report.errors, B "/tower", "front edge"));
}

/* 2 kg x 9.80665 x 2.3^3 / (3 x 3 mm); else two solid bars 20 x 80 mm of pine. */
static void stiffness_comes_from_a_sag_or_a_section(void **state) {
    (void)state;
    assert_true(WITH({B "/leaf/girders", "{\"weight\": \"2 kg\", \"sag\": \"3 mm\"}"}));
    assert_near(builder()->stiffness_n_m2, 2 * 9.80665 * 2.3 * 2.3 * 2.3 / 0.009);
    assert_true(WITH({B "/leaf/girders", "{\"width\": \"20 mm\", \"height\": \"80 mm\"}"}));
    assert_near(builder()->stiffness_n_m2, 2 * 1e10 * 0.02 * 0.000512 / 12);
    assert_false(WITH({B "/leaf/girders", "{\"weight\": \"2 kg\"}"}));
    assert_true(config_text_has(&report.errors, B "/leaf/girders", "needs its sag"));
    assert_false(WITH({B "/leaf/toe", NULL}));
    assert_true(config_text_has(&report.errors, B "/leaf/girders", "measured at the toe"));
    assert_false(WITH({B "/leaf/girders", "{\"width\": \"20 mm\", \"height\": \"80 mm\","
                                          " \"wall\": \"10 mm\"}"}));
    assert_true(config_text_has(&report.errors, B "/leaf/girders", "wall"));
}

static void the_watch_that_ends_a_stall_is_the_first_there_is(void **state) {
    (void)state;
    WITH({B "/sensors/current", "false"});
    assert_int_equal(builder()->stall_watch, BUILDER_WATCH_NO_MOVEMENT);
    WITH({B "/sensors", "{}"});
    assert_int_equal(builder()->stall_watch, BUILDER_WATCH_TRAVEL);
    assert_true(builder()->stall_watch_s > 60);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_grade_lengthens_the_stop_section),
        cmocka_unit_test(a_train_that_the_grade_pulls_away_is_refused),
        cmocka_unit_test(a_steeper_approach_locks_longer),
        cmocka_unit_test(defaults_are_as_documented),
        cmocka_unit_test(what_is_given_arrives),
        cmocka_unit_test(what_cannot_be_is_refused),
        cmocka_unit_test(stiffness_comes_from_a_sag_or_a_section),
        cmocka_unit_test(the_watch_that_ends_a_stall_is_the_first_there_is),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
