/* How the lamps of a stand look, along a whole opening of the core itself, and by each reading. */
#include "stand/looks.h"
#include "support/check.h"
#include "support/core/puppet.h"

#include <math.h>
#include <string.h>

static struct puppet puppet;
static struct bridge_setup setup;
static struct bridge_view view;
static struct looks_desk desk;

static int clear(void **state) {
    (void)state;
    setup = puppet_setup();
    memset(&view, 0, sizeof view);
    desk = (struct looks_desk){.may_operate = false};
    return 0;
}

static enum look look(enum stand_lamp_kind kind) {
    const struct stand_lamp lamp = {.kind = kind};
    return looks_of(&lamp, &setup, &view, &desk);
}

static void see_puppet(void) {
    view = (struct bridge_view){puppet.inputs, puppet.state, puppet.outputs};
}

static void expect_in(enum bridge_phase phase, enum look lined, enum look moving, enum look open) {
    if (puppet.state.phase != phase) {
        assert_true(puppet_run_to(&puppet, phase, 600000000));
    }
    puppet_run_for(&puppet, 50000);
    assert_int_equal(puppet.state.phase, phase);
    see_puppet();
    assert_int_equal(look(STAND_LAMP_LINED), lined);
    assert_int_equal(look(STAND_LAMP_MOVING), moving);
    assert_int_equal(look(STAND_LAMP_OPEN), open);
    assert_int_equal(look(STAND_LAMP_FAULT), LOOK_OFF);
}

static void an_opening_and_closing_as_its_lamps_tell_it(void **state) {
    (void)state;
    puppet_line(&puppet, &setup);
    expect_in(PHASE_LINED, LOOK_STEADY, LOOK_OFF, LOOK_OFF);
    puppet_ask(&puppet, REQUEST_RAISE, 10000);
    expect_in(PHASE_WARNING, LOOK_OFF, LOOK_SLOW, LOOK_SLOW);
    assert_true(puppet_run_to(&puppet, PHASE_RAISING, 600000000));
    puppet_run_for(&puppet, 1000000);
    expect_in(PHASE_RAISING, LOOK_OFF, LOOK_STEADY, LOOK_SLOW);
    assert_true(puppet_run_to(&puppet, PHASE_OPEN, 600000000));
    puppet_run_for(&puppet, 2000000);
    expect_in(PHASE_OPEN, LOOK_OFF, LOOK_OFF, LOOK_STEADY);
    puppet_ask(&puppet, REQUEST_LOWER, 10000);
    assert_true(puppet_run_to(&puppet, PHASE_LOWERING, 600000000));
    puppet_run_for(&puppet, 3000000);
    expect_in(PHASE_LOWERING, LOOK_SLOW, LOOK_STEADY, LOOK_OFF);
    assert_true(puppet_run_to(&puppet, PHASE_LINED, 600000000));
    puppet_run_for(&puppet, 2000000);
    expect_in(PHASE_LINED, LOOK_STEADY, LOOK_OFF, LOOK_OFF);
}

static void a_bridge_that_has_proved_nothing_shows_nothing_as_known(void **state) {
    (void)state;
    view.inputs.position_frac = NAN;
    static const enum stand_lamp_kind kinds[] = {
        STAND_LAMP_LINED,        STAND_LAMP_MOVING,       STAND_LAMP_OPEN,  STAND_LAMP_APPROACH,
        STAND_LAMP_STOP_SECTION, STAND_LAMP_SPAN_SECTION, STAND_LAMP_SIGNAL};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        assert_int_equal(look(kinds[i]), LOOK_UNKNOWN);
    }
}

static void a_fault_flashes_fast_and_makes_lined_unknown(void **state) {
    (void)state;
    view.state.phase = PHASE_FAULT;
    assert_int_equal(look(STAND_LAMP_FAULT), LOOK_FAST);
    assert_int_equal(look(STAND_LAMP_LINED), LOOK_UNKNOWN);
}

static void at_rest_is_proved_or_unknown(void **state) {
    (void)state;
    view.state.motion.is_known = true;
    assert_int_equal(look(STAND_LAMP_MOVING), LOOK_OFF);
    view.state.motion.measured_frac_s = setup.motion.creep_speed_frac_s;
    assert_int_equal(look(STAND_LAMP_MOVING), LOOK_FAST); /* it drifts */
    view.inputs.is_device_lost = true;
    assert_int_equal(look(STAND_LAMP_MOVING), LOOK_UNKNOWN);
    view.outputs.lift_effort = 0.1;
    assert_int_equal(look(STAND_LAMP_MOVING), LOOK_STEADY);
    view = (struct bridge_view){.state = {.phase = PHASE_HELD}};
    setup.motion.has_position = false;
    assert_int_equal(look(STAND_LAMP_MOVING), LOOK_UNKNOWN);
    view.state.contacts.open.believed = LEVEL_ON;
    assert_int_equal(look(STAND_LAMP_MOVING), LOOK_OFF);
}

static void sections_as_their_detectors_see_them(void **state) {
    (void)state;
    struct track_end_inputs *end = &view.inputs.track[0].end[0];
    view.inputs.track[0].span_clear = end->stop_clear = end->approach_clear = LEVEL_ON;
    assert_int_equal(look(STAND_LAMP_SPAN_SECTION), LOOK_OFF);
    assert_int_equal(look(STAND_LAMP_STOP_SECTION), LOOK_OFF);
    assert_int_equal(look(STAND_LAMP_APPROACH), LOOK_OFF);
    view.inputs.track[0].span_clear = end->stop_clear = end->approach_clear = LEVEL_OFF;
    view.state.phase = PHASE_RAISING; /* a train where none may be (S8) */
    assert_int_equal(look(STAND_LAMP_SPAN_SECTION), LOOK_FAST);
    assert_int_equal(look(STAND_LAMP_STOP_SECTION), LOOK_FAST);
    assert_int_equal(look(STAND_LAMP_APPROACH), LOOK_STEADY);
    puppet_line(&puppet, &setup);
    see_puppet();
    view.inputs.track[0].span_clear = LEVEL_OFF;
    assert_int_equal(look(STAND_LAMP_SPAN_SECTION), LOOK_STEADY);
}

static void a_signal_as_it_is_proved(void **state) {
    (void)state;
    static const struct {
        enum level at_stop;
        bool is_told;
        enum look wanted;
    } cases[] = {{LEVEL_ON, false, LOOK_OFF},         {LEVEL_ON, true, LOOK_SLOW},
                 {LEVEL_OFF, false, LOOK_FAST},       {LEVEL_OFF, true, LOOK_STEADY},
                 {LEVEL_UNKNOWN, true, LOOK_UNKNOWN}, {LEVEL_UNKNOWN, false, LOOK_UNKNOWN}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        view.inputs.track[0].end[0].signal_at_stop = cases[i].at_stop;
        view.outputs.track[0].end[0].signal_proceed = cases[i].is_told;
        assert_int_equal(look(STAND_LAMP_SIGNAL), cases[i].wanted);
    }
    setup.track[0].end[0].has_signal_proof = false;
    assert_int_equal(look(STAND_LAMP_SIGNAL), LOOK_UNKNOWN);
    view.outputs.track[0].end[0].signal_proceed = true;
    assert_int_equal(look(STAND_LAMP_SIGNAL), LOOK_STEADY);
}

static void the_stands_own_lamps(void **state) {
    (void)state;
    assert_int_equal(look(STAND_LAMP_MAY_OPERATE), LOOK_OFF);
    assert_int_equal(look(STAND_LAMP_IS_LOCAL), LOOK_OFF);
    desk = (struct looks_desk){true, true};
    assert_int_equal(look(STAND_LAMP_MAY_OPERATE), LOOK_STEADY);
    assert_int_equal(look(STAND_LAMP_IS_LOCAL), LOOK_STEADY);
}

/* Lit ticks and changes in one turn of all ticks: all looks differ, none is faster than 3 Hz. */
static void looks_are_told_apart_and_none_flickers(void **state) {
    (void)state;
    static const unsigned lit[] = {0, 16, 8, 8, 1}, changes[] = {0, 0, 4, 16, 2};
    for (unsigned l = LOOK_OFF; l <= LOOK_UNKNOWN; l++) {
        unsigned seen_lit = 0, seen_changes = 0;
        for (unsigned tick = 0; tick < LOOKS_TICKS; tick++) {
            bool is_lit = looks_is_lit((enum look)l, tick);
            seen_lit += is_lit;
            seen_changes += is_lit != looks_is_lit((enum look)l, (tick + 1) % LOOKS_TICKS);
        }
        assert_int_equal(seen_lit, lit[l]);
        assert_int_equal(seen_changes, changes[l]);
        assert_true(seen_changes / 2.0 / (LOOKS_TICKS * LOOKS_TICK_US / 1e6) <= 3);
    }
}

static void a_lamp_that_does_not_flash_wakes_nobody(void **state) {
    (void)state;
    for (unsigned tick = 0; tick < LOOKS_TICKS; tick++) {
        assert_int_equal(looks_ticks_left(LOOK_OFF, tick), 0);
        assert_int_equal(looks_ticks_left(LOOK_STEADY, tick), 0);
        assert_int_equal(looks_ticks_left(LOOK_FAST, tick), 1);
    }
    assert_int_equal(looks_ticks_left(LOOK_SLOW, 0), 4);
    assert_int_equal(looks_ticks_left(LOOK_UNKNOWN, 0), 1);
    assert_int_equal(looks_ticks_left(LOOK_UNKNOWN, 1), 15);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(an_opening_and_closing_as_its_lamps_tell_it, clear),
        cmocka_unit_test_setup(a_bridge_that_has_proved_nothing_shows_nothing_as_known, clear),
        cmocka_unit_test_setup(a_fault_flashes_fast_and_makes_lined_unknown, clear),
        cmocka_unit_test_setup(at_rest_is_proved_or_unknown, clear),
        cmocka_unit_test_setup(sections_as_their_detectors_see_them, clear),
        cmocka_unit_test_setup(a_signal_as_it_is_proved, clear),
        cmocka_unit_test_setup(the_stands_own_lamps, clear),
        cmocka_unit_test_setup(looks_are_told_apart_and_none_flickers, clear),
        cmocka_unit_test_setup(a_lamp_that_does_not_flash_wakes_nobody, clear),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
