/* What guards a bridge, as the panel is told: what a person guards, and what could be better. */
#include "support/check.h"
#include "support/panel/panel_stage.h"

#include <cjson/cJSON.h>
#include <string.h>

static struct panel_stage stage;

static int set_stage(void **state) {
    (void)state;
    panel_stage_init(&stage);
    return 0;
}

static int close_stage(void **state) {
    (void)state;
    panel_stage_close(&stage);
    return 0;
}

static cJSON *bridges(void) {
    panel_stage_open(&stage);
    cJSON *tree = cJSON_Parse(browse_get(&stage, "/bridges", "")->body);
    assert_non_null(tree);
    return tree;
}

static const cJSON *guards_in(const cJSON *tree) {
    const cJSON *bridge = cJSON_GetArrayItem(cJSON_GetObjectItem(tree, "bridges"), 0);
    const cJSON *guards = cJSON_GetObjectItem(bridge, "guards");
    assert_true(cJSON_IsArray(guards));
    return guards;
}

static void assert_says(const cJSON *guard, const char *key, const char *words) {
    assert_string_equal(cJSON_GetStringValue(cJSON_GetObjectItem(guard, key)), words);
}

static void a_bridge_with_everything_has_none(void **state) {
    (void)state;
    cJSON *tree = bridges();
    assert_int_equal(cJSON_GetArraySize(guards_in(tree)), 0);
    cJSON_Delete(tree);
}

static void each_says_what_it_rests_on_and_what_would_be_better(void **state) {
    (void)state;
    struct bridge_setup *setup = &stage.config->net.bridge[0].setup;
    setup->track[0].end[1].has_signal_proof = false;
    setup->has_stop_circuit = false;
    cJSON *tree = bridges();
    const cJSON *guards = guards_in(tree);
    assert_int_equal(cJSON_GetArraySize(guards), 2);
    const cJSON *signal = cJSON_GetArrayItem(guards, 0);
    assert_says(signal, "how", "by-time");
    assert_says(signal, "invariants", "S3,S4");
    assert_says(signal, "condition", "home signal main east at stop");
    assert_says(signal, "rests_on", "commanded to stop continuously, 3 s");
    assert_says(signal, "unseen", "a signal that does not obey");
    assert_says(signal, "better", "a signal proof");
    assert_says(cJSON_GetArrayItem(guards, 1), "how", "by-word");
    cJSON_Delete(tree);
}

#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_stage, close_stage)

int main(void) {
    const struct CMUnitTest tests[] = {
        STAGED(a_bridge_with_everything_has_none),
        STAGED(each_says_what_it_rests_on_and_what_would_be_better),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
