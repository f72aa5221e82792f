/* What a bridge tells as a node: what is proved, and no more. */
#include "lcc/states.h"
#include "support/check.h"

#include <string.h>

static struct bridge_setup setup;
static struct bridge_view view;

static int clear(void **state) {
    (void)state;
    memset(&setup, 0, sizeof setup);
    memset(&view, 0, sizeof view);
    setup.has_open = true;
    return 0;
}

static enum lcc_truth truth(enum lcc_state what) {
    const struct lcc_state_setup state = {.what = what, .track = 1, .end = 1};
    return states_truth(&state, &setup, &view);
}

static void an_unproved_bridge_knows_nothing_of_its_place(void **state) {
    (void)state;
    static const enum lcc_state states[] = {
        LCC_STATE_LINED,    LCC_STATE_OPEN,         LCC_STATE_SEATED,      LCC_STATE_LOCKED,
        LCC_STATE_APPROACH, LCC_STATE_STOP_SECTION, LCC_STATE_SPAN_SECTION};
    for (size_t i = 0; i < sizeof states / sizeof states[0]; i++) {
        assert_int_equal(truth(states[i]), LCC_UNKNOWN);
    }
    assert_int_equal(truth(LCC_STATE_MOVING), LCC_FALSE);
    assert_int_equal(truth(LCC_STATE_FAULT), LCC_FALSE);
}

static void phases_and_goals(void **state) {
    (void)state;
    view.state.phase = PHASE_LINED;
    assert_int_equal(truth(LCC_STATE_LINED), LCC_TRUE);
    view.state.phase = PHASE_CLEARING;
    assert_int_equal(truth(LCC_STATE_LINED), LCC_FALSE);
    view.state.phase = PHASE_FAULT;
    assert_int_equal(truth(LCC_STATE_LINED), LCC_FALSE);
    assert_int_equal(truth(LCC_STATE_FAULT), LCC_TRUE);
    view.state.goal = GOAL_UP;
    assert_int_equal(truth(LCC_STATE_GOAL_UP), LCC_TRUE);
    assert_int_equal(truth(LCC_STATE_GOAL_DOWN), LCC_FALSE);
    view.state.goal = GOAL_DOWN;
    assert_int_equal(truth(LCC_STATE_GOAL_UP), LCC_FALSE);
    assert_int_equal(truth(LCC_STATE_GOAL_DOWN), LCC_TRUE);
    view.outputs.lift_effort = -0.2;
    assert_int_equal(truth(LCC_STATE_MOVING), LCC_TRUE);
}

static void contacts_are_told_as_believed(void **state) {
    (void)state;
    static const enum level levels[] = {LEVEL_UNKNOWN, LEVEL_OFF, LEVEL_ON};
    static const enum lcc_truth wanted[] = {LCC_UNKNOWN, LCC_FALSE, LCC_TRUE};
    for (unsigned i = 0; i < 3; i++) {
        view.state.contacts.seated.believed = levels[i];
        view.state.contacts.locked.believed = levels[i];
        view.state.contacts.open.believed = levels[i];
        assert_int_equal(truth(LCC_STATE_SEATED), wanted[i]);
        assert_int_equal(truth(LCC_STATE_LOCKED), wanted[i]);
        assert_int_equal(truth(LCC_STATE_OPEN), wanted[i]);
    }
}

static void without_an_open_contact_the_position_tells(void **state) {
    (void)state;
    setup.has_open = false;
    setup.motion.position_tolerance_frac = 0.05;
    view.state.motion.position_frac = 0.96;
    assert_int_equal(truth(LCC_STATE_OPEN), LCC_UNKNOWN);
    view.state.motion.is_known = true;
    assert_int_equal(truth(LCC_STATE_OPEN), LCC_TRUE);
    view.state.motion.position_frac = 0.94;
    assert_int_equal(truth(LCC_STATE_OPEN), LCC_FALSE);
}

/* A detector's ON says that its section is clear (closed circuit, 49 CFR 236.5). */
static void sections_are_occupied_clear_or_unknown(void **state) {
    (void)state;
    static const enum level levels[] = {LEVEL_UNKNOWN, LEVEL_OFF, LEVEL_ON};
    static const enum lcc_truth wanted[] = {LCC_UNKNOWN, LCC_TRUE, LCC_FALSE};
    for (unsigned i = 0; i < 3; i++) {
        view.inputs.track[1].end[1].approach_clear = levels[i];
        view.inputs.track[1].end[1].stop_clear = levels[(i + 1) % 3];
        view.inputs.track[1].span_clear = levels[(i + 2) % 3];
        assert_int_equal(truth(LCC_STATE_APPROACH), wanted[i]);
        assert_int_equal(truth(LCC_STATE_STOP_SECTION), wanted[(i + 1) % 3]);
        assert_int_equal(truth(LCC_STATE_SPAN_SECTION), wanted[(i + 2) % 3]);
    }
}

static void check_output(enum lcc_state what, bool *is_on, bool *has_proof, enum level *safe) {
    *has_proof = false;
    *is_on = false;
    assert_int_equal(truth(what), LCC_FALSE);
    *is_on = true;
    assert_int_equal(truth(what), LCC_TRUE);
    *has_proof = true;
    *safe = LEVEL_OFF;
    assert_int_equal(truth(what), LCC_TRUE);
    *safe = LEVEL_ON; /* switched on, yet proved safe: it is not on */
    assert_int_equal(truth(what), LCC_FALSE);
    *is_on = false;
    assert_int_equal(truth(what), LCC_FALSE);
    *safe = LEVEL_OFF; /* switched off, yet not proved so */
    assert_int_equal(truth(what), LCC_UNKNOWN);
    *safe = LEVEL_UNKNOWN;
    assert_int_equal(truth(what), LCC_UNKNOWN);
}

static void outputs_are_told_as_proved_where_they_can_be(void **state) {
    (void)state;
    struct track_setup *track = &setup.track[1];
    struct track_inputs *in = &view.inputs.track[1];
    struct track_outputs *out = &view.outputs.track[1];
    check_output(LCC_STATE_PROCEED, &out->end[1].signal_proceed, &track->end[1].has_signal_proof,
                 &in->end[1].signal_at_stop);
    check_output(LCC_STATE_STOP_POWER, &out->end[1].stop_power, &track->end[1].has_stop_power_proof,
                 &in->end[1].stop_dead);
    check_output(LCC_STATE_SPAN_POWER, &out->span_power, &track->has_span_power_proof,
                 &in->span_dead);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(an_unproved_bridge_knows_nothing_of_its_place, clear),
        cmocka_unit_test_setup(phases_and_goals, clear),
        cmocka_unit_test_setup(contacts_are_told_as_believed, clear),
        cmocka_unit_test_setup(without_an_open_contact_the_position_tells, clear),
        cmocka_unit_test_setup(sections_are_occupied_clear_or_unknown, clear),
        cmocka_unit_test_setup(outputs_are_told_as_proved_where_they_can_be, clear),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
