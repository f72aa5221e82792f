/* What the sizing report gets from a configuration; and misfits, which leave it whole. */
#include "config/config.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct stage {
    struct config config;
    struct config_report report;
};

static int begin(void **state) {
    *state = calloc(1, sizeof(struct stage));
    return *state == NULL;
}

static int end(void **state) {
    free(*state);
    return 0;
}

static cJSON *demo_tree(void) {
    size_t length;
    const char *text = config_demo_text(&length);
    cJSON *tree = cJSON_ParseWithLength(text, length);
    assert_non_null(tree);
    return tree;
}

static bool read_tree(struct stage *stage, const cJSON *tree) {
    char *text = cJSON_PrintUnformatted(tree);
    bool is_usable = config_read_text(text, strlen(text), &stage->config, &stage->report);
    cJSON_free(text);
    return is_usable;
}

/* The demo with one value put in another's place; "" leaves it as it is. */
static bool read_with(struct stage *stage, const char *where, const char *value) {
    cJSON *tree = demo_tree();
    if (where[0] != '\0') {
        config_text_patch(tree, where, value);
    }
    bool is_usable = read_tree(stage, tree);
    cJSON_Delete(tree);
    return is_usable;
}

static const struct sizing_given *given(const struct stage *stage) {
    return &stage->config.bridge[0].sizing;
}

static void assert_near(double found, double wanted) {
    if (!(fabs(found - wanted) <= 1e-9)) {
        fail_msg("found %.12g, wanted %.12g", found, wanted);
    }
}

static void demo_says_all_that_the_report_needs(void **state) {
    struct stage *stage = *state;
    assert_true(read_with(stage, "", NULL));
    const struct sizing_given *sizing = given(stage);
    assert_false(sizing->is_hand);
    assert_int_equal(sizing->outline_points, 8);
    assert_near(sizing->outline[1].y_m, 0.47);
    assert_string_equal(stage->config.bridge[0].corner_name[0], "toe, rail head");
    assert_true(sizing->has_room);
    assert_near(sizing->room.axis_height_m, 1.02);
    assert_near(sizing->room.ceiling_m, 3.32);
    assert_near(sizing->room.floor_m, 0);
    assert_near(sizing->room.wall_x_m, -1);
    assert_near(sizing->least_gap_m, 0.01);
    assert_near(sizing->toe_x_m, 2.3);
    assert_near(sizing->toe_least_n, 4);
    assert_near(sizing->toe_most_n, 10);
    assert_near(sizing->wanted_angle_rad, NUMBER_PI / 6);
    assert_true(sizing->has_counterweight);
    assert_near(sizing->counterweight_kg, 40);
    assert_near(sizing->counterweight.x_m, -0.8);
    assert_int_equal(sizing->pockets, 2);
    assert_near(sizing->pocket[1].at.y_m, -0.2);
    assert_near(sizing->pocket[1].block_kg, 0.1);
    assert_int_equal(sizing->pocket[1].blocks_max, 10);
    assert_string_equal(stage->config.bridge[0].pocket_name[1], "tail, low");
    assert_near(sizing->supply_a, 5);
    assert_near(sizing->chain.friction_running, 3.2);
    assert_near(sizing->chain.friction_static, 4.2);
    assert_true(sizing->has_current_sensor);
    assert_near(sizing->law.full_frac_s, 2.2 / 75);
    assert_near(sizing->law.zone_open_frac, 3.0 / 75);
    assert_true(sizing->end[0].is_used && sizing->end[1].is_used && !sizing->end[2].is_used);
    assert_true(sizing->end[1].has_train);
    assert_near(sizing->end[1].approach_m, 5);
    assert_near(sizing->end[1].stop_m, 2);
    assert_near(sizing->end[1].dead.pickup_span_m, 0.45);
    assert_near(sizing->end[1].braked.reaction_s, 1);
    assert_near(sizing->end[1].approach_lock_s, 5 / 0.4 + 2);
}

static void what_is_not_written_is_open_or_not_known(void **state) {
    struct stage *stage = *state;
    assert_true(read_with(stage, "/bridges/0/room", "{\"axis height\": \"1 m\"}"));
    assert_true(isinf(given(stage)->room.ceiling_m) && given(stage)->room.ceiling_m > 0);
    assert_true(isinf(given(stage)->room.floor_m) && given(stage)->room.floor_m < 0);
    assert_true(isinf(given(stage)->room.wall_x_m) && given(stage)->room.wall_x_m < 0);
    assert_true(read_with(stage, "/bridges/0/room", NULL));
    assert_false(given(stage)->has_room);
    assert_true(read_with(stage, "/bridges/0/leaf/seat", NULL));
    assert_true(isnan(given(stage)->toe_least_n) && isnan(given(stage)->toe_most_n));
    assert_true(read_with(stage, "/bridges/0/leaf/outline", NULL));
    assert_int_equal(given(stage)->outline_points, 0);
    assert_true(read_with(stage, "/bridges/0/supply/current", NULL));
    assert_true(isnan(given(stage)->supply_a));
}

/* 3 blocks of 0.1 kg at (-0.85, 0.18) m. */
static void blocks_in_pockets_weigh(void **state) {
    struct stage *stage = *state;
    assert_true(read_with(stage, "", NULL));
    struct balance before = given(stage)->chain.balance;
    assert_true(read_with(stage, "/bridges/0/leaf/pockets/0/holds", "3"));
    struct balance after = given(stage)->chain.balance;
    assert_int_equal(given(stage)->pocket_blocks[0], 3);
    assert_near(after.mass_kg - before.mass_kg, 0.3);
    assert_near(after.sx_kg_m - before.sx_kg_m, 0.3 * -0.85);
    assert_near(after.sy_kg_m - before.sy_kg_m, 0.3 * 0.18);
}

static void senseless_weights_are_refused(void **state) {
    struct stage *stage = *state;
    const struct config_list *errors = &stage->report.errors;
    assert_false(read_with(stage, "/bridges/0/leaf/pockets/0/holds", "11"));
    assert_true(config_text_has(errors, "/bridges/0/leaf/pockets/0/holds", "more than the 10"));
    assert_false(read_with(stage, "/bridges/0/leaf/seat/least", "\"10 N\""));
    assert_true(config_text_has(errors, "/bridges/0/leaf/seat/most", "more than the minimum"));
    assert_int_equal(stage->config.net.bridges, 0);
}

static const char sliding[] =
    "[{\"what\": \"lead\", \"mass\": \"2 kg\", \"from\": [\"-0.5 m\", \"0.1 m\"],"
    "\"to\": [\"-0.9 m\", \"0.1 m\"], \"at\": \"10 cm\"}]";

/* 2 kg at (-0.6, 0.1) m. */
static void sliding_weights_weigh_where_they_are(void **state) {
    struct stage *stage = *state;
    assert_true(read_with(stage, "", NULL));
    struct balance before = given(stage)->chain.balance;
    assert_true(read_with(stage, "/bridges/0/leaf/slides", sliding));
    struct balance after = given(stage)->chain.balance;
    assert_int_equal(given(stage)->slides, 1);
    assert_near(given(stage)->slide_now_m[0], 0.1);
    assert_string_equal(stage->config.bridge[0].slide_name[0], "lead");
    assert_near(after.mass_kg - before.mass_kg, 2);
    assert_near(after.sx_kg_m - before.sx_kg_m, 2 * -0.6);
    assert_near(after.sy_kg_m - before.sy_kg_m, 2 * 0.1);
}

static void senseless_slides_are_refused(void **state) {
    struct stage *stage = *state;
    static const struct {
        const char *key, *value, *where, *words;
    } rows[] = {
        {"/0/at", "\"50 cm\"", "/0/at", "beyond the end of its rail"},
        {"/0/step", "\"3 cm\"", "/0/at", "is not one of its places"},
        {"/0/step", "\"1 mm\"", "/0", "at most 40 places"},
        {"/0/to", "[\"-0.5 m\", \"0.1 m\"]", "/0", "from one place to another"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char place[64];
        cJSON *tree = demo_tree();
        config_text_patch(tree, "/bridges/0/leaf/slides", sliding);
        snprintf(place, sizeof place, "/bridges/0/leaf/slides%s", rows[i].key);
        config_text_patch(tree, place, rows[i].value);
        assert_false(read_tree(stage, tree));
        snprintf(place, sizeof place, "/bridges/0/leaf/slides%s", rows[i].where);
        assert_true(config_text_has(&stage->report.errors, place, rows[i].words));
        cJSON_Delete(tree);
    }
}

/* The span hangs 70 cm below its sheaves; it cannot rise by as much, nor by more. */
static void ropes_reach_as_far_as_the_travel(void **state) {
    struct stage *stage = *state;
    static const struct {
        const char *side;
        bool is_enough;
    } rows[] = {{"\"46 cm\"", true}, {"\"45 cm\"", false}, {"\"20 cm\"", false}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char *text = config_text_of_file(SOURCE_DIR "/config/harbor-lift.json");
        cJSON *tree = cJSON_Parse(text);
        free(text);
        assert_non_null(tree);
        config_text_patch(tree, "/bridges/0/leaf/ropes/span side", rows[i].side);
        assert_int_equal(read_tree(stage, tree), rows[i].is_enough);
        assert_int_equal(stage->report.misfits, rows[i].is_enough ? 0 : 1);
        assert_int_equal(
            config_text_has(&stage->report.errors, "/bridges/0/leaf/ropes/span side", "sheaves"),
            !rows[i].is_enough);
        cJSON_Delete(tree);
    }
}

/* Written well, but it would not work: refused, and still all there. */
static void misfits_leave_the_configuration_whole(void **state) {
    struct stage *stage = *state;
    static const struct {
        const char *where, *value;
    } misfits[] = {
        {"/bridges/0/motion/full speed", "\"20 deg/s\""},
        {"/bridges/0/motion/full effort", "\"1 %\""},
        {"/bridges/0/motion/stall current", "\"1 A\""},
        {"/bridges/0/tracks/0/ends/0/stop length", "\"50 cm\""},
        {"/bridges/0/tracks/0/ends/1/approach length", "\"20 cm\""},
        {"/bridges/0/tracks/0/ends/1/approach lock", "\"1 s\""},
    };
    for (size_t i = 0; i < sizeof misfits / sizeof misfits[0]; i++) {
        assert_false(read_with(stage, misfits[i].where, misfits[i].value));
        assert_true(config_text_has(&stage->report.errors, misfits[i].where, ""));
        assert_int_equal(stage->report.misfits, stage->report.errors.count);
        assert_int_equal(stage->config.net.bridges, 1);
        assert_int_equal(given(stage)->outline_points, 8);
    }
    assert_false(read_with(stage, "/bridges/0/name", "1"));
    assert_int_equal(stage->report.misfits, 0);
    assert_int_equal(stage->config.net.bridges, 0);
}

/* 12 V x 0.9 for the most friction; a fast motor is not driven faster than the usual time. */
static void full_speed_that_is_not_written_is_what_the_motor_makes(void **state) {
    struct stage *stage = *state;
    assert_true(read_with(stage, "/bridges/0/motion", "{}"));
    assert_near(given(stage)->law.full_frac_s, 1 / 40.0);
    cJSON *tree = demo_tree();
    config_text_patch(tree, "/bridges/0/motion", "{}");
    config_text_patch(tree, "/bridges/0/motor/no-load speed", "\"4000 rpm\"");
    assert_true(read_tree(stage, tree));
    cJSON_Delete(tree);
    const struct chain *chain = &given(stage)->chain;
    double full_speed = given(stage)->law.full_frac_s * chain->lift.travel;
    assert_true(given(stage)->law.full_frac_s < 1 / 40.0);
    assert_near(chain_demand(chain, full_speed, 0).full_most_v, 0.9 * 12);
}

/* The corners of a vertical lift's counterweight are its own; those of a leaf are the leaf's. */
static void only_a_vertical_lift_has_a_counterweight_apart(void **state) {
    struct stage *stage = *state;
    static const char corners[] = "[{\"what\": \"iron\", \"at\": [\"-70 cm\", \"52 cm\"]}]";
    assert_false(read_with(stage, "/bridges/0/leaf/counterweight/outline", corners));
    assert_true(config_text_has(&stage->report.errors, "/bridges/0/leaf/counterweight/outline",
                                "vertical"));
    assert_true(
        config_read_file(SOURCE_DIR "/config/harbor-lift.json", &stage->config, &stage->report));
    assert_int_equal(given(stage)->weight_points, 4);
    assert_near(given(stage)->weight_outline[2].y_m, 0.52);
    assert_string_equal(stage->config.bridge[0].weight_corner_name[2], "iron, foot");
    assert_int_equal(given(stage)->outline_points, 4);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(demo_says_all_that_the_report_needs, begin, end),
        cmocka_unit_test_setup_teardown(what_is_not_written_is_open_or_not_known, begin, end),
        cmocka_unit_test_setup_teardown(blocks_in_pockets_weigh, begin, end),
        cmocka_unit_test_setup_teardown(senseless_weights_are_refused, begin, end),
        cmocka_unit_test_setup_teardown(only_a_vertical_lift_has_a_counterweight_apart, begin, end),
        cmocka_unit_test_setup_teardown(sliding_weights_weigh_where_they_are, begin, end),
        cmocka_unit_test_setup_teardown(senseless_slides_are_refused, begin, end),
        cmocka_unit_test_setup_teardown(ropes_reach_as_far_as_the_travel, begin, end),
        cmocka_unit_test_setup_teardown(misfits_leave_the_configuration_whole, begin, end),
        cmocka_unit_test_setup_teardown(full_speed_that_is_not_written_is_what_the_motor_makes,
                                        begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
