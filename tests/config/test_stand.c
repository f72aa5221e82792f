/* The stand in a configuration: what is read, and every mistake, with its place. */
#include "config/config.h"
#include "config/tables/stand_keys.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <cjson/cJSON.h>
#include <linux/input-event-codes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct config config;
static struct config_report report;

/* The demo with this stand, and what else is patched. */
static bool read_patched(const char *stand, const char *where, const char *value) {
    size_t length;
    const char *demo = config_demo_text(&length);
    cJSON *tree = cJSON_ParseWithLength(demo, length);
    config_text_patch(tree, "/bridges/0/stand", stand);
    if (where != NULL) {
        config_text_patch(tree, where, value);
    }
    char *text = cJSON_PrintUnformatted(tree);
    bool is_usable = config_read_text(text, strlen(text), &config, &report);
    cJSON_free(text);
    cJSON_Delete(tree);
    return is_usable;
}

static bool read_stand(const char *stand) {
    return read_patched(stand, NULL, NULL);
}

static const struct stand_setup *stand(void) {
    return &config.bridge[0].stand;
}

static void without_it_there_is_no_stand(void **state) {
    (void)state;
    assert_true(config_demo(&config, &report));
    assert_false(stand()->is_there);
}

static void the_example_is_read_whole(void **state) {
    (void)state;
    bool is_read = config_read_file(SOURCE_DIR "/config/tender-stand.json", &config, &report);
    config_text_print(&report.errors);
    assert_true(is_read);
    assert_true(stand()->is_there);
    assert_int_equal(stand()->controls, 11);
    assert_int_equal(stand()->terminals.inputs, 9);
    assert_int_equal(stand()->lamps, 13);
    const struct stand_control *raise = &stand()->control[0];
    const struct wired_input *contact = &stand()->terminals.input[raise->input];
    assert_int_equal(raise->kind, STAND_RAISE);
    assert_true(contact->pin.is_active_low && contact->second.is_used);
    assert_int_equal(contact->pin.offset, 5);
    assert_int_equal(raise->debounce_us, 20000);
    assert_int_equal(raise->stuck_us, 30000000);
    assert_int_equal(stand()->control[7].stuck_us, 0); /* a key switch */
    assert_true(stand()->control[9].is_key);
    assert_int_equal(stand()->control[9].key, BTN_TRIGGER);
    assert_int_equal(stand()->throttle.kind, STAND_THROTTLE_JOYSTICK);
    assert_int_equal(stand()->throttle.axis, ABS_Y);
    assert_true(stand()->throttle.is_inversed && stand()->throttle.dead_share == 0.1);
    assert_int_equal(stand()->lamp[0].pin.chip, 1);
    assert_int_equal(stand()->lamp[7].kind, STAND_LAMP_SIGNAL);
    assert_int_equal(stand()->lamp[7].colour, STAND_GREEN);
    assert_int_equal(stand()->lamp[9].kind, STAND_LAMP_SPAN_SECTION);
    assert_int_equal(stand()->lamp[10].kind, STAND_LAMP_STOP_SECTION);
    assert_int_equal(stand()->lamp[10].end, 1);
    assert_int_equal(stand()->lamp[12].kind, STAND_LAMP_APPROACH);
}

static const char potentiometer[] =
    "{\"devices\": [{\"name\": \"box\", \"device\": \"/dev/input/event3\"}],"
    " \"controls\": [{\"asks\": \"grip\", \"key\": \"KEY_G\"}, {\"asks\": \"stop\", \"key\": "
    "\"31\"}],"
    " \"throttle\": {\"kind\": \"potentiometer\", \"sets\": \"voltage\", \"device\": \"adc\","
    "  \"channel\": \"voltage1\", \"full down\": \"0.5 V\", \"full up\": \"2.5 V\"}}";

static void a_potentiometer_has_its_rest_half_way(void **state) {
    (void)state;
    assert_true(read_stand(potentiometer));
    assert_int_equal(report.warnings.count, 0);
    const struct stand_throttle *throttle = &stand()->throttle;
    assert_true(throttle->rest_v == 1.5 && throttle->is_voltage);
    assert_true(fabs(throttle->least_v - 0.3) < 1e-9 && fabs(throttle->most_v - 2.7) < 1e-9);
    assert_int_equal(stand()->control[0].stuck_us, 300000000);
    assert_int_equal(stand()->control[1].key, KEY_S); /* by its number */
}

static void mistakes_are_told_with_their_place(void **state) {
    (void)state;
#define BOX "\"devices\": [{\"name\": \"box\", \"device\": \"/dev/input/event3\"}], "
#define CHIP "\"chips\": [{\"name\": \"desk\", \"device\": \"gpiochip9\"}], "
#define STOP "{\"asks\": \"stop\", \"key\": \"KEY_S\"}"
#define ROW "\"rows\": [{\"name\": \"row\", \"kind\": \"addressable\", \"places\": 4}], "
    static const struct {
        const char *stand, *where, *words;
    } cases[] = {
        {"{\"controls\": [{\"asks\": \"stop\"}]}", "/bridges/0/stand/controls/0",
         "wanted either a \"pin\" or a \"key\""},
        {"{" BOX "\"controls\": [{\"asks\": \"emergency stop\", \"key\": \"KEY_E\"}]}",
         "/bridges/0/stand/controls/0", "unplugged could not ask"},
        {"{" BOX "\"controls\": [{\"asks\": \"stop\", \"key\": \"KEY_SPACES\"}]}",
         "/bridges/0/stand/controls/0/key", "did you mean \"KEY_SPACE\""},
        {"{" BOX "\"controls\": [{\"asks\": \"stop\", \"key\": \"0\"}]}",
         "/bridges/0/stand/controls/0/key", "there is no key \"0\""},
        {"{\"controls\": [" STOP "]}", "/bridges/0/stand/controls/0/device", "there is no device"},
        {"{" BOX "\"controls\": [" STOP ", " STOP "]}", "/bridges/0/stand/controls/1/key",
         "is the key of control 0 already"},
        {"{" BOX "\"controls\": [{\"asks\": \"local\", \"key\": \"KEY_A\"}, "
         "{\"asks\": \"local\", \"key\": \"KEY_B\"}]}",
         "/bridges/0/stand/controls/1/asks", "there can be only one"},
        {"{" CHIP "\"controls\": [{\"asks\": \"stop\", \"pin\": {\"line\": 1, \"active\": \"low\", "
         "\"pull\": \"down\"}}]}",
         "/bridges/0/stand/controls/0/pin/pull", "a broken wire would read as made"},
        {"{" CHIP "\"controls\": [{\"asks\": \"stop\", \"pin\": {\"line\": 1}}, "
         "{\"asks\": \"horn\", \"pin\": {\"line\": 1}}]}",
         "/bridges/0/stand/controls/1/pin/line", "already wired to something else"},
        {"{" BOX "\"throttle\": {\"kind\": \"encoder\"}, \"controls\": [" STOP "]}",
         "/bridges/0/stand/throttle/kind", "wanted a control that asks \"grip\""},
        {"{" BOX "\"throttle\": {\"kind\": \"joystick\", \"axis\": \"dial\"}}",
         "/bridges/0/stand/throttle/axis", "a joystick has a place"},
        {"{\"throttle\": {\"kind\": \"potentiometer\", \"device\": \"adc\", \"channel\": "
         "\"voltage0\", \"full up\": \"2 V\"}}",
         "/bridges/0/stand/throttle", "needs \"full down\""},
        {"{\"lamps\": [{\"shows\": \"lined\"}]}", "/bridges/0/stand/lamps/0",
         "wanted either a \"pin\" or a \"place\""},
        {"{" ROW "\"lamps\": [{\"shows\": \"main.wets.stop\", \"place\": 1}]}",
         "/bridges/0/stand/lamps/0/shows", "did you mean \"main.west.stop\""},
        {"{" ROW "\"lamps\": [{\"shows\": \"seated\", \"place\": 1}]}",
         "/bridges/0/stand/lamps/0/shows", "wanted a section, or a home signal"},
        {"{" ROW "\"lamps\": [{\"shows\": \"main.west.standing\", \"place\": 1}]}",
         "/bridges/0/stand/lamps/0/shows", "wanted a section, or a home signal"},
        {"{" ROW "\"lamps\": [{\"shows\": \"lined\", \"place\": 4}]}",
         "/bridges/0/stand/lamps/0/place", "the row has 4 places"},
        {"{" ROW "\"lamps\": [{\"shows\": \"lined\", \"place\": 1}, {\"shows\": \"open\", "
         "\"place\": 1}]}",
         "/bridges/0/stand/lamps/1/place", "is the place of lamp 0"},
        {"{\"lamps\": [{\"shows\": \"lined\", \"place\": 1}]}", "/bridges/0/stand/lamps/0/row",
         "there is no row"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_false(read_stand(cases[i].stand));
        if (!config_text_has(&report.errors, cases[i].where, cases[i].words)) {
            config_text_print(&report.errors);
            fail_msg("wanted %s: %s", cases[i].where, cases[i].words);
        }
    }
}

static void what_may_be_a_mistake_is_a_warning(void **state) {
    (void)state;
    assert_true(read_stand("{" BOX "\"controls\": [{\"asks\": \"raise\", \"key\": \"KEY_R\"}]}"));
    assert_true(config_text_has(&report.warnings, "/bridges/0/stand/controls", "fit a \"stop\""));
    assert_true(read_patched("{" ROW
                             "\"lamps\": [{\"shows\": \"main.west.signal\", \"place\": 1}]}",
                             "/bridges/0/tracks/0/ends/0/signal proof", "false"));
    assert_true(config_text_has(&report.warnings, "/bridges/0/stand/lamps/0/shows", "no proof"));
}

static void a_line_of_the_bridge_is_not_one_of_its_stand(void **state) {
    (void)state;
    char *text = config_text_of_file(SOURCE_DIR "/config/shed-controller.json");
    cJSON *tree = cJSON_Parse(text);
    free(text);
    cJSON *bridge = cJSON_GetArrayItem(cJSON_GetObjectItem(tree, "bridges"), 0);
    cJSON *wired = cJSON_GetObjectItem(bridge, "wired");
    cJSON *made = cJSON_CreateObject();
    cJSON_AddItemToObject(made, "chips", cJSON_Duplicate(cJSON_GetObjectItem(wired, "chips"), 1));
    cJSON *input = cJSON_GetArrayItem(cJSON_GetObjectItem(wired, "inputs"), 0);
    cJSON *controls = cJSON_AddArrayToObject(made, "controls");
    cJSON *control = cJSON_CreateObject();
    cJSON_AddStringToObject(control, "asks", "stop");
    cJSON_AddItemToObject(control, "pin", cJSON_Duplicate(cJSON_GetObjectItem(input, "pin"), 1));
    cJSON_AddItemToArray(controls, control);
    cJSON_AddItemToObject(bridge, "stand", made);
    char *patched = cJSON_PrintUnformatted(tree);
    assert_false(config_read_text(patched, strlen(patched), &config, &report));
    assert_true(config_text_has(&report.errors, "/bridges/0/stand", "wired to a bridge"));
    cJSON_free(patched);
    cJSON_Delete(tree);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_it_there_is_no_stand),
        cmocka_unit_test(the_example_is_read_whole),
        cmocka_unit_test(a_potentiometer_has_its_rest_half_way),
        cmocka_unit_test(mistakes_are_told_with_their_place),
        cmocka_unit_test(what_may_be_a_mistake_is_a_warning),
        cmocka_unit_test(a_line_of_the_bridge_is_not_one_of_its_stand),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
