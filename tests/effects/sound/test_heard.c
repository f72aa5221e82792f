/* What is to be heard after a step. */
#include "effects/sound/heard.h"
#include "support/check.h"

#include <string.h>

static const struct sound_setup sound = {
    .voices = 3,
    .voice = {{.kind = SOUND_HORN, .when = {1U << CONDITION_HORN, 0}},
              {.kind = SOUND_SEATING, .when = {1U << CONDITION_SEATED, 0}, .is_once = true},
              {.kind = SOUND_MOTOR, .when = {1U << CONDITION_MOVING, 0}}}};
enum { HORN = 1, SEATING = 2, MOTOR = 4 };

static struct bridge_setup bridge = {.motion = {.full_speed_frac_s = 0.03}};

static struct bridge_view view_of(enum level seated) {
    return (struct bridge_view){
        .state = {.phase = PHASE_SEATING, .contacts = {.seated = {.believed = seated}}}};
}

/* The pattern is the core's: 33 CFR 117.15 as its outputs sound it (core/horn.h). */
static void horn_is_heard_just_while_it_is_put_out(void **state) {
    (void)state;
    struct bridge_view silent = view_of(LEVEL_ON), sounding = view_of(LEVEL_ON);
    sounding.outputs.horn = true;
    assert_int_equal(sound_heard(&sound, &bridge, &silent, &sounding).on, HORN);
    assert_int_equal(sound_heard(&sound, &bridge, &sounding, &sounding).on, HORN);
    assert_int_equal(sound_heard(&sound, &bridge, &sounding, &silent).on, 0);
}

static void seating_is_heard_once_as_it_is_proved(void **state) {
    (void)state;
    struct bridge_view off = view_of(LEVEL_OFF), on = view_of(LEVEL_ON);
    assert_int_equal(sound_heard(&sound, &bridge, &off, &on).begins, SEATING);
    assert_int_equal(sound_heard(&sound, &bridge, &off, &on).on, 0);
    assert_int_equal(sound_heard(&sound, &bridge, &on, &on).begins, 0);
    assert_int_equal(sound_heard(&sound, &bridge, &on, &off).begins, 0);
}

static void what_the_first_proof_shows_is_not_heard(void **state) {
    (void)state;
    struct bridge_view first = {.state = {.phase = PHASE_UNPROVED}}, on = view_of(LEVEL_ON);
    assert_int_equal(sound_heard(&sound, &bridge, &first, &on).begins, 0);
}

static void speed_is_measured_or_else_as_commanded(void **state) {
    (void)state;
    struct bridge_view view = view_of(LEVEL_OFF);
    view.state.motion =
        (struct motion_state){.direction = -1, .speed_frac_s = 0.03, .measured_frac_s = -0.015};
    bridge.motion.has_position = false;
    assert_float_equal(sound_heard(&sound, &bridge, &view, &view).speed, 1, 1e-6);
    assert_int_equal(sound_heard(&sound, &bridge, &view, &view).on, MOTOR);
    bridge.motion.has_position = true;
    assert_float_equal(sound_heard(&sound, &bridge, &view, &view).speed, 0.5, 1e-6);
    view.state.motion.direction = 0;
    assert_float_equal(sound_heard(&sound, &bridge, &view, &view).speed, 0, 0);
}

/* The horn's output is then not heard itself, but for a person who sounds it. */
static void local_rule_begins_with_the_signal(void **state) {
    (void)state;
    struct sound_setup local = sound;
    memcpy(local.blasts[HORN_OPENING], "PP", sizeof "PP");
    struct bridge_view before = view_of(LEVEL_ON), after = view_of(LEVEL_ON);
    after.outputs.horn = true;
    after.state.horn.signal = HORN_OPENING;
    struct sound_order order = sound_heard(&local, &bridge, &before, &after);
    assert_int_equal(order.signal, HORN_OPENING);
    assert_int_equal(order.on, 0);
    assert_true(sound_is_news(&(struct sound_order){0}, &order));
    order = sound_heard(&local, &bridge, &after, &after);
    assert_int_equal(order.signal, HORN_SILENT);
    assert_int_equal(order.on, 0);
    after.state.horn.signal = HORN_CLOSING; /* by no rule: as the output */
    order = sound_heard(&local, &bridge, &before, &after);
    assert_int_equal(order.signal, HORN_SILENT);
    assert_int_equal(order.on, HORN);
    after.state.horn.signal = HORN_SILENT;
    assert_int_equal(sound_heard(&local, &bridge, &before, &after).on, HORN);
}

static void only_what_is_heard_is_news(void **state) {
    (void)state;
    const struct sound_order rest = {0}, hum = {.on = MOTOR, .speed = 0.5F};
    struct sound_order next = hum;
    next.at_us = 5;
    assert_false(sound_is_news(&hum, &next));
    next.speed = 0.51F;
    assert_false(sound_is_news(&hum, &next));
    next.speed = 0.53F;
    assert_true(sound_is_news(&hum, &next));
    assert_true(sound_is_news(&hum, &rest));
    next = rest;
    next.begins = SEATING;
    assert_true(sound_is_news(&rest, &next));
    const struct sound_order slow = {.on = MOTOR, .speed = 0.01F}, still = {.on = MOTOR};
    assert_true(sound_is_news(&slow, &still));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(horn_is_heard_just_while_it_is_put_out),
        cmocka_unit_test(seating_is_heard_once_as_it_is_proved),
        cmocka_unit_test(what_the_first_proof_shows_is_not_heard),
        cmocka_unit_test(speed_is_measured_or_else_as_commanded),
        cmocka_unit_test(local_rule_begins_with_the_signal),
        cmocka_unit_test(only_what_is_heard_is_news),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
