/* What the configuration says of scenes; and that they command no bridge. */
#include "config/config.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <stdio.h>

static struct config config;
static struct config_report report;

/* The wired bridge with these outputs of a scene. */
static bool reads_scenes(const char *scenes) {
    return config_text_read_with("shed-controller.json", "/bridges/0/scenes", scenes, &config,
                                 &report);
}

static bool reads(const char *output) {
    char scenes[512];
    snprintf(scenes, sizeof scenes, "{\"outputs\": [{\"name\": \"lamp\", %s}]}", output);
    return reads_scenes(scenes);
}

static void assert_refused(const char *output, const char *where, const char *what) {
    char place[96];
    snprintf(place, sizeof place, "/bridges/0/scenes%s", where);
    assert_false(reads(output));
    if (!config_text_has(&report.errors, place, what)) {
        config_text_print(&report.errors);
        fail_msg("%s: no \"%s\" at %s", output, what, place);
    }
}

static void all_is_as_written(void **state) {
    (void)state;
    assert_true(reads_scenes(
        "{\"dawn\": \"5:15\", \"dusk\": \"21:30\", \"twilight\": \"45 min\", \"outputs\": ["
        "{\"name\": \"flashers\", \"when\": \"not lined\", \"delay\": \"2 s\", \"linger\": \"3 s\","
        " \"flash\": \"1 s\", \"hours\": \"by day\", \"pin\": {\"device\": \"/dev/gpiochip0\","
        " \"line\": 18, \"active\": \"low\"}},"
        "{\"name\": \"house\", \"fade\": \"2 s\", \"level\": \"60 %\", \"pwm\": {\"chip\":"
        " \"/sys/class/pwm/pwmchip1\", \"channel\": 1}},"
        "{\"name\": \"logged\"}]}"));
    const struct scene_setup *scene = &config.bridge[0].scene;
    assert_int_equal(scene->outputs, 3);
    assert_int_equal(scene->dawn, 5 * 60 + 15);
    assert_int_equal(scene->dusk, 21 * 60 + 30);
    assert_int_equal(scene->twilight, 45);
    const struct scene_output *flashers = &scene->output[0], *house = &scene->output[1];
    assert_string_equal(flashers->name, "flashers");
    assert_int_equal(flashers->when.none, 1U << CONDITION_LINED);
    assert_int_equal(flashers->delay_us, 2000000);
    assert_int_equal(flashers->linger_us, 3000000);
    assert_int_equal(flashers->flash_us, 1000000);
    assert_int_equal(flashers->hours, SCENE_BY_DAY);
    assert_true(flashers->pin.is_used && flashers->pin.is_active_low);
    assert_int_equal(flashers->pin.offset, 18);
    assert_string_equal(flashers->chip.device, "/dev/gpiochip0");
    assert_int_equal(house->when.all, 1U << CONDITION_ALWAYS);
    assert_int_equal(house->fade_us, 2000000);
    assert_float_equal(house->level, 0.6, 1e-9);
    assert_int_equal(house->pwm.channel, 1);
    assert_int_equal(house->pwm.period_ns, 1000000);
    assert_false(scene->output[2].pin.is_used);
}

/* An input, an output, the power stage, the heartbeat, the motor's and the lock's pulses: what the
 * bridge has nobody else may drive. */
static void terminal_of_the_bridge_is_refused(void **state) {
    (void)state;
    static const char *const terminals[] = {
        "\"pin\": {\"device\": \"/dev/gpiochip0\", \"line\": 5}",
        "\"pin\": {\"device\": \"/dev/gpiochip0\", \"line\": 12}",
        "\"pin\": {\"device\": \"/dev/gpiochip0\", \"line\": 25}",
        "\"pin\": {\"device\": \"/dev/gpiochip1\", \"line\": 12}",
        "\"pin\": {\"device\": \"/dev/gpiochip0\", \"line\": 9}",
        "\"pin\": {\"device\": \"/dev/gpiochip0\", \"line\": 11}",
        "\"pwm\": {\"chip\": \"/sys/class/pwm/pwmchip0\", \"channel\": 0}",
        "\"pwm\": {\"chip\": \"/sys/class/pwm/pwmchip0\", \"channel\": 1}",
        "\"pwm\": {\"chip\": \"/sys/class/pwm/pwmchip1\", \"channel\": 0}"};
    for (size_t i = 0; i < sizeof terminals / sizeof terminals[0]; i++) {
        assert_refused(terminals[i], "/outputs/0",
                       "this terminal belongs to the bridge \"Kettle Narrows\"");
    }
    assert_true(reads("\"pin\": {\"device\": \"/dev/gpiochip1\", \"line\": 25}"));
}

static void terminal_is_for_one_output(void **state) {
    (void)state;
    assert_refused("\"pin\": {\"device\": \"/dev/gpiochip0\", \"line\": 18}}, {\"name\": \"other\","
                   " \"pin\": {\"device\": \"/dev/gpiochip0\", \"line\": 18}",
                   "/outputs/1", "that of another scene output already");
    assert_refused("\"pwm\": {\"chip\": \"/sys/class/pwm/pwmchip1\", \"channel\": 1}}, {\"name\":"
                   " \"other\", \"pwm\": {\"chip\": \"/sys/class/pwm/pwmchip1\", \"channel\": 1}",
                   "/outputs/1", "that of another scene output already");
}

static void mistakes_are_named(void **state) {
    (void)state;
    assert_refused("\"when\": \"opne\"", "/outputs/0/when", "did you mean \"open\"");
    assert_refused("\"fade\": \"1 s\", \"pin\": {\"device\": \"/dev/gpiochip0\", \"line\": 18}",
                   "/outputs/0", "only on or off");
    assert_refused("\"level\": \"50 %\", \"pin\": {\"device\": \"/dev/gpiochip0\", \"line\": 18}",
                   "/outputs/0", "only on or off");
    assert_refused("\"pwm\": {\"chip\": \"/sys/class/pwm/pwmchip1\", \"channel\": 1}, \"pin\": "
                   "{\"device\": \"/dev/gpiochip0\", \"line\": 18}",
                   "/outputs/0", "either a \"pin\" or a \"pwm\"");
    static const char *const times[] = {"24:00", "7", "7:60", "7:30 pm", "-1:00"};
    for (size_t i = 0; i < sizeof times / sizeof times[0]; i++) {
        char scenes[64];
        snprintf(scenes, sizeof scenes, "{\"dawn\": \"%s\"}", times[i]);
        assert_false(reads_scenes(scenes));
        assert_true(config_text_has(&report.errors, "/bridges/0/scenes/dawn", "time of day"));
    }
    assert_false(reads_scenes("{\"dawn\": \"7:00\", \"dusk\": \"7:00\"}"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_is_as_written),
        cmocka_unit_test(terminal_of_the_bridge_is_refused),
        cmocka_unit_test(terminal_is_for_one_output),
        cmocka_unit_test(mistakes_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
