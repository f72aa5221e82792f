/* Outputs that follow a bridge, at fake GPIO lines and a PWM in a folder, in a time of the test's
 * own. */
#include "effects/scene/scene.h"
#include "support/check.h"
#include "support/daemon/tree.h"
#include "support/io/fake_gpio.h"
#include "support/logged.h"

#include <event2/event.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct event_base *base;
static struct scene_setup setup;
static struct scene *scene;
static struct bridge_view view;
static struct tree tree;
static uint64_t now_us;
static bool has_clock;
static unsigned minute_of_day;

static uint64_t get_now(void *context) {
    (void)context;
    return now_us;
}

static bool get_minute(void *context, unsigned *minute, uint64_t *next_us) {
    (void)context;
    *minute = minute_of_day;
    *next_us = now_us + 60000000;
    return has_clock;
}

static void add_pin(unsigned i, unsigned line, condition_set all, condition_set none) {
    setup.output[i] = (struct scene_output){
        .when = {all, none}, .level = 1, .pin = {.is_used = true, .offset = line}};
    snprintf(setup.output[i].name, sizeof setup.output[i].name, "lamp %u", line);
    strcpy(setup.output[i].chip.device, "chip0");
    setup.outputs = i + 1;
}

static int begin(void **state) {
    (void)state;
    fake_gpio_start();
    base = event_base_new();
    tree_make(&tree);
    memset(&setup, 0, sizeof setup);
    memset(&view, 0, sizeof view);
    now_us = 1000000;
    has_clock = false;
    add_pin(0, 3, 1U << CONDITION_OPEN, 0);
    add_pin(1, 4, 1U << CONDITION_ALWAYS, 1U << CONDITION_OPEN);
    return 0;
}

static void start(bool is_dry) {
    struct error error;
    const struct scene_host host = {.name = "Kettle Narrows",
                                    .is_dry = is_dry,
                                    .pace = 1,
                                    .now_us = get_now,
                                    .minute = get_minute};
    scene = scene_new(base, &setup, &fake_gpio_ops, &host, &error);
    assert_non_null(scene);
}

static int end(void **state) {
    (void)state;
    scene_free(scene);
    scene = NULL;
    event_base_free(base);
    tree_remove(&tree);
    return 0;
}

/* All turns that are due. */
static void run(void) {
    while (event_base_loop(base, EVLOOP_NONBLOCK) == 0 &&
           event_base_get_num_events(base, EVENT_BASE_COUNT_ACTIVE) > 0) {
    }
}

/* One turn at a time, however long the timer still has. */
static void turns(unsigned count) {
    for (unsigned i = 0; i < count; i++) {
        scene_look(scene);
        run();
        event_base_loop(base, EVLOOP_ONCE | EVLOOP_NONBLOCK);
    }
}

static void enter(enum bridge_phase phase) {
    view.state.phase = phase;
    scene_notify(scene, &view);
    turns(4);
}

/* 33 CFR 118: red over the axis while it is closed, green while it is open, as a model. */
static void lights_follow_the_bridge(void **state) {
    (void)state;
    start(false);
    assert_false(fake_gpio_level(0, 3) || fake_gpio_level(0, 4));
    enter(PHASE_LINED);
    assert_true(!fake_gpio_level(0, 3) && fake_gpio_level(0, 4));
    enter(PHASE_OPEN);
    assert_true(fake_gpio_level(0, 3) && !fake_gpio_level(0, 4));
    end(NULL);
    assert_false(fake_gpio_level(0, 3) || fake_gpio_level(0, 4)); /* all off at the end */
    begin(NULL);
}

static void step_itself_writes_nothing(void **state) {
    (void)state;
    start(false);
    view.state.phase = PHASE_OPEN;
    unsigned writes = fake_gpio.writes;
    scene_notify(scene, &view);
    assert_int_equal(fake_gpio.writes, writes);
}

static void one_output_is_written_in_a_turn(void **state) {
    (void)state;
    start(false);
    enter(PHASE_OPEN);
    view.state.phase = PHASE_LINED; /* both change */
    scene_notify(scene, &view);
    unsigned writes = fake_gpio.writes;
    event_base_loop(base, EVLOOP_ONCE);
    assert_int_equal(fake_gpio.writes, writes + 1);
    event_base_loop(base, EVLOOP_ONCE);
    assert_int_equal(fake_gpio.writes, writes + 2);
}

/* With nothing to do there is no timer: the loop has no event left. */
static void nothing_wakes_it_at_rest(void **state) {
    (void)state;
    start(false);
    enter(PHASE_LINED);
    assert_int_equal(event_base_get_num_events(base, EVENT_BASE_COUNT_ADDED), 0);
    setup.output[0].flash_us = 1000000;
    enter(PHASE_OPEN);
    assert_int_equal(event_base_get_num_events(base, EVENT_BASE_COUNT_ADDED), 1);
}

static void failure_is_said_once_and_tried_again(void **state) {
    (void)state;
    start(false);
    logged_begin();
    fake_gpio.cannot_write[0] = true;
    enter(PHASE_OPEN);
    enter(PHASE_HELD);
    fake_gpio.cannot_write[0] = false;
    enter(PHASE_OPEN);
    assert_false(fake_gpio_level(0, 3)); /* not before a second is over */
    now_us += 1000000;
    turns(4);
    logged_end();
    assert_true(fake_gpio_level(0, 3));
    assert_int_equal(logged_lines("Kettle Narrows: scene output \"lamp 3\": "), 1);
}

static void output_that_is_not_there_leaves_the_others_alone(void **state) {
    (void)state;
    strcpy(setup.output[0].chip.device, "no such chip");
    logged_begin();
    start(false);
    logged_end();
    assert_int_equal(logged_lines("scene output \"lamp 3\": "), 1);
    enter(PHASE_LINED);
    assert_true(fake_gpio_level(0, 4));
}

static void dry_run_drives_nothing(void **state) {
    (void)state;
    logged_begin();
    start(true);
    enter(PHASE_LINED);
    logged_end();
    assert_int_equal(fake_gpio.writes, 0);
    assert_int_equal(fake_gpio.open, 0);
    assert_int_equal(logged_lines("dry run: would switch lamp 4 on"), 1);
}

static void night_lights_follow_the_layouts_clock(void **state) {
    (void)state;
    setup.dawn = 6 * 60;
    setup.dusk = 18 * 60;
    setup.output[1].hours = SCENE_BY_NIGHT;
    start(false);
    enter(PHASE_LINED);
    assert_true(fake_gpio_level(0, 4)); /* no clock: always */
    has_clock = true;
    minute_of_day = 12 * 60;
    turns(3);
    assert_false(fake_gpio_level(0, 4));
    assert_int_equal(event_base_get_num_events(base, EVENT_BASE_COUNT_ADDED), 1); /* the minute */
    minute_of_day = 22 * 60;
    turns(3);
    assert_true(fake_gpio_level(0, 4));
}

/* By the eye half as bright is a quarter of the light (common practice, no source). */
static void pulses_are_as_long_as_it_is_bright(void **state) {
    (void)state;
    char duty[32];
    tree_put(&tree, "pwm0/period", "0");
    tree_put(&tree, "pwm0/duty_cycle", "0");
    tree_put(&tree, "pwm0/polarity", "normal");
    tree_put(&tree, "pwm0/enable", "0");
    setup.output[0] = (struct scene_output){.name = "lantern",
                                            .when = {1U << CONDITION_OPEN, 0},
                                            .level = 0.5,
                                            .pwm = {.period_ns = 1000000}};
    snprintf(setup.output[0].pwm.chip, sizeof setup.output[0].pwm.chip, "%s", tree.root);
    start(false);
    enter(PHASE_OPEN);
    tree_get(&tree, "pwm0/duty_cycle", duty, sizeof duty);
    assert_int_equal(atoi(duty), 250000);
    end(NULL);
    begin(NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(lights_follow_the_bridge, begin, end),
        cmocka_unit_test_setup_teardown(step_itself_writes_nothing, begin, end),
        cmocka_unit_test_setup_teardown(one_output_is_written_in_a_turn, begin, end),
        cmocka_unit_test_setup_teardown(nothing_wakes_it_at_rest, begin, end),
        cmocka_unit_test_setup_teardown(failure_is_said_once_and_tried_again, begin, end),
        cmocka_unit_test_setup_teardown(output_that_is_not_there_leaves_the_others_alone, begin,
                                        end),
        cmocka_unit_test_setup_teardown(dry_run_drives_nothing, begin, end),
        cmocka_unit_test_setup_teardown(night_lights_follow_the_layouts_clock, begin, end),
        cmocka_unit_test_setup_teardown(pulses_are_as_long_as_it_is_bright, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
