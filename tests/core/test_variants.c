/* Whole openings of bridges made of less, or of more: one end, several tracks, no detectors, no
 * position, no open contact, a bar worked by hand, a gate. The puppet judges every step. */
#include "core/bridge.h"
#include "core/motion.h"
#include "core/words/names.h"
#include "support/check.h"
#include "support/core/core_near.h"
#include "support/core/core_parts.h"
#include "support/core/puppet.h"

enum { SECOND_US = 1000000, OPENING_US = 400000000 };

static void assert_opens_and_closes(struct puppet *p) {
    assert_int_equal(puppet_ask(p, REQUEST_RAISE, 0), ANSWER_GRANTED);
    if (!puppet_run_to_with_word(p, PHASE_OPEN, OPENING_US)) {
        fail_msg("stays in %s", bridge_phase_name(p->state.phase));
    }
    assert_int_equal(puppet_ask(p, REQUEST_LOWER, 0), ANSWER_GRANTED);
    if (!puppet_run_to_with_word(p, PHASE_LINED, OPENING_US)) {
        fail_msg("stays in %s", bridge_phase_name(p->state.phase));
    }
    assert_int_equal(p->state.openings, 1);
}

static void each_part_may_be_missing(void **state) {
    (void)state;
    for (size_t i = 0; i < core_parts_count; i++) {
        struct bridge_setup setup = puppet_setup();
        *core_part_of(&setup, i) = false;
        core_parts_make_sound(&setup);
        if (!setup.has_lock_drive) {
            continue; /* needs a hand: below */
        }
        struct puppet p;
        puppet_line(&p, &setup);
        assert_opens_and_closes(&p);
    }
}

static void one_ended_track(void **state) {
    (void)state;
    for (unsigned unused = 0; unused < TRACK_ENDS; unused++) {
        struct bridge_setup setup = puppet_setup();
        setup.track[0].end[unused] = (struct track_end_setup){0};
        struct puppet p;
        puppet_line(&p, &setup);
        assert_true(p.outputs.track[0].end[1 - unused].signal_proceed);
        assert_false(p.outputs.track[0].end[unused].signal_proceed);
        assert_false(p.outputs.track[0].end[unused].stop_power);
        assert_opens_and_closes(&p);
    }
}

static void train_on_any_of_four_tracks_keeps_the_bridge_down(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.tracks = BRIDGE_TRACKS_MAX;
    for (unsigned t = 1; t < setup.tracks; t++) {
        setup.track[t] = setup.track[0];
    }
    for (unsigned t = 0; t < setup.tracks; t++) {
        struct puppet p;
        puppet_line(&p, &setup);
        p.inputs.track[t].span_clear = LEVEL_OFF;
        puppet_ask(&p, REQUEST_NONE, 0);
        for (unsigned k = 0; k < setup.tracks; k++) { /* its own signals alone fall */
            assert_int_equal(p.outputs.track[k].end[0].signal_proceed, k != t);
        }
        puppet_ask(&p, REQUEST_RAISE, 0);
        puppet_run_for(&p, 30 * SECOND_US);
        assert_int_equal(p.state.phase, PHASE_CLEARING);
        p.inputs.track[t].span_clear = LEVEL_ON;
        assert_true(puppet_run_to(&p, PHASE_OPEN, OPENING_US));
    }
}

/* Trains that stand where they must not for longer than the setup waits: back to lined. */
static void opening_is_given_up_and_the_bridge_is_lined_again(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    p.inputs.track[0].span_clear = LEVEL_OFF;
    puppet_ask(&p, REQUEST_RAISE, 0);
    assert_true(puppet_run_to(&p, PHASE_LINED, setup.clearing_limit_us + SECOND_US));
    assert_in_range(p.now_us, setup.clearing_limit_us, UINT32_MAX);
    assert_true(p.state.has_given_up);
    assert_true(p.outputs.track[0].span_power); /* so that the train can leave */
    p.inputs.track[0].span_clear = LEVEL_ON;
    assert_opens_and_closes(&p);
    assert_false(p.state.has_given_up);
}

/* Without detectors every opening waits for approach locking, and for the time in which the slowest
 * train runs out. */
static void without_detectors_every_opening_waits_its_whole_time(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        setup.track[0].end[e].has_approach_detector = false;
        setup.track[0].end[e].has_standing_detector = false;
        setup.track[0].end[e].has_stop_detector = false;
    }
    setup.track[0].has_span_detector = false;
    static const uint32_t run_outs_us[] = {5 * SECOND_US, 30 * SECOND_US};
    for (size_t i = 0; i < sizeof run_outs_us / sizeof run_outs_us[0]; i++) {
        setup.track[0].run_out_us = run_outs_us[i];
        uint32_t want_us = i == 0 ? 8 * SECOND_US : 30 * SECOND_US;
        struct puppet p;
        puppet_line(&p, &setup);
        uint64_t asked_us = p.now_us;
        puppet_ask(&p, REQUEST_RAISE, 0);
        assert_true(puppet_run_to(&p, PHASE_WARNING, OPENING_US));
        assert_in_range(p.now_us - asked_us, want_us, want_us + 20000);
        assert_true(puppet_run_to(&p, PHASE_OPEN, OPENING_US));
    }
}

static void without_position_the_estimate_slows_the_span_before_its_ends(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.motion.has_position = false;
    setup.has_nearly_seated = setup.has_nearly_open = false;
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_RAISING);
    double fastest_frac_s = 0;
    while (p.state.phase == PHASE_RAISING) {
        double speed_frac_s = p.state.motion.speed_frac_s;
        fastest_frac_s = speed_frac_s > fastest_frac_s ? speed_frac_s : fastest_frac_s;
        if (p.span_frac > 0.96) {
            assert_near(speed_frac_s, setup.motion.creep_speed_frac_s, 0.001);
        }
        puppet_ask(&p, REQUEST_NONE, 10000);
    }
    assert_int_equal(p.state.phase, PHASE_OPEN);
    assert_near(fastest_frac_s, setup.motion.full_speed_frac_s, 1e-9);
}

/* Asked to lower, it goes down no faster than it creeps, to lined. */
static void assert_creeps_down(struct puppet *p) {
    assert_int_equal(puppet_ask(p, REQUEST_LOWER, 0), ANSWER_GRANTED);
    assert_true(puppet_run_to(p, PHASE_LOWERING, OPENING_US));
    for (unsigned steps = 0; p->state.phase == PHASE_LOWERING && steps < 6000; steps++) {
        assert_true(p->state.motion.speed_frac_s <= p->setup.motion.creep_speed_frac_s);
        puppet_ask(p, REQUEST_NONE, 10000);
    }
    assert_true(puppet_run_to(p, PHASE_LINED, OPENING_US));
}

static void found_mid_travel_without_position_the_span_creeps_down(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.motion.has_position = false;
    struct puppet p;
    puppet_start(&p, &setup);
    p.span_frac = 0.6;
    p.lock_frac = 0;
    puppet_run_for(&p, 20 * SECOND_US);
    assert_int_equal(p.state.phase, PHASE_HELD);
    assert_creeps_down(&p);
}

/* The estimate says 0.6 or more; somebody has turned the span almost down to mend it. */
static void moved_by_hand_while_a_fault_stood_the_span_creeps_until_a_contact_tells(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.motion.has_position = false;
    setup.has_nearly_seated = setup.has_nearly_open = false;
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_RAISING);
    for (unsigned steps = 0; p.span_frac < 0.6 && steps < 6000; steps++) {
        puppet_ask(&p, REQUEST_NONE, 10000);
    }
    assert_true(p.span_frac >= 0.6);
    puppet_ask(&p, REQUEST_EMERGENCY_STOP, 10000);
    puppet_run_for(&p, 2 * SECOND_US);
    p.span_frac = 0.1;
    assert_int_equal(puppet_ask(&p, REQUEST_ACKNOWLEDGE, 10000), ANSWER_GRANTED);
    assert_false(bridge_is_position_known(&setup, &p.state));
    puppet_run_for(&p, 2 * SECOND_US);
    assert_creeps_down(&p);
    assert_true(bridge_is_position_known(&setup, &p.state));
}

static void without_open_contact_the_measured_position_ends_the_raising(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.has_open = setup.has_nearly_open = false;
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_OPEN);
    assert_true(p.span_frac >= 1);
    p.span_frac = 0.975; /* it settles a little */
    puppet_run_for(&p, 500000);
    assert_int_equal(p.state.phase, PHASE_OPEN);
    puppet_run_for(&p, 5 * SECOND_US);
    p.span_frac = 0.96; /* and this is no settling */
    puppet_ask(&p, REQUEST_NONE, 10000);
    assert_int_equal(p.state.fault, FAULT_DRIFT);
}

static void debounced_contacts_open_and_close_all_the_same(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.debounce_us = 50000;
    struct puppet p;
    puppet_line(&p, &setup);
    assert_opens_and_closes(&p);
}

/* ---- the lock bar worked by hand */

static void bar_worked_by_hand_is_waited_for_and_only_proved(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.has_lock_drive = false;
    struct puppet p;
    puppet_line(&p, &setup);
    puppet_ask(&p, REQUEST_RAISE, 0);
    assert_true(puppet_run_to(&p, PHASE_UNLOCKING, OPENING_US));
    puppet_run_for(&p, 300 * SECOND_US); /* a hand takes what it takes */
    assert_int_equal(p.state.phase, PHASE_UNLOCKING);
    assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
    p.lock_frac = 0;
    assert_true(puppet_run_to(&p, PHASE_OPEN, OPENING_US));
    puppet_ask(&p, REQUEST_LOWER, 0);
    assert_true(puppet_run_to(&p, PHASE_LOCKING, OPENING_US));
    puppet_run_for(&p, 300 * SECOND_US);
    assert_int_equal(p.state.phase, PHASE_LOCKING);
    assert_false(p.outputs.track[0].span_power);
    p.lock_frac = 1;
    assert_true(puppet_run_to(&p, PHASE_LINED, SECOND_US));
}

static void bar_drawn_under_a_lined_bridge_is_a_fault(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.has_lock_drive = false;
    struct puppet p;
    puppet_line(&p, &setup);
    p.lock_frac = 0.5;
    puppet_ask(&p, REQUEST_NONE, 10000);
    assert_int_equal(p.state.fault, FAULT_PROOF_LOST);
    assert_false(p.outputs.track[0].end[0].signal_proceed);
}

/* ---- the gate */

static void lift(struct puppet *p, double span_frac, double lock_frac) {
    p->span_frac = span_frac;
    p->lock_frac = lock_frac;
    puppet_ask(p, REQUEST_NONE, 10000);
}

static void assert_phase(const struct puppet *p, enum bridge_phase want) {
    assert_string_equal(bridge_phase_name(p->state.phase), bridge_phase_name(want));
    assert_false(bridge_is_moving(&p->outputs));
    assert_int_equal(p->outputs.lock, LOCK_DRIVE_REST);
}

static void gate_follows_the_hand(void **state) {
    (void)state;
    /* with and without its optional contacts, one bit each */
    for (unsigned has = 0; has < 8; has++) {
        struct bridge_setup setup = puppet_hand_setup();
        setup.has_open = has & 1;
        setup.has_nearly_seated = has & 2;
        setup.has_nearly_open = has & 4;
        struct puppet p;
        puppet_line(&p, &setup);
        assert_true(p.outputs.track[0].end[0].signal_proceed);
        lift(&p, 0, 0);
        assert_phase(&p, PHASE_UNLOCKING);
        assert_false(p.outputs.track[0].end[0].signal_proceed);
        assert_false(p.outputs.track[0].span_power);
        lift(&p, 0.02, 0);
        assert_phase(&p, PHASE_RAISING);
        lift(&p, 0.5, 0);
        assert_phase(&p, PHASE_RAISING);
        lift(&p, 1, 0);
        assert_phase(&p, setup.has_open ? PHASE_OPEN : PHASE_RAISING);
        lift(&p, 0.5, 0);
        assert_phase(&p, setup.has_open ? PHASE_LOWERING : PHASE_RAISING);
        lift(&p, 0.02, 0);
        assert_phase(&p, setup.has_open ? PHASE_LOWERING : PHASE_RAISING);
        lift(&p, 0, 0);
        assert_phase(&p, PHASE_LOCKING);
        assert_false(p.outputs.track[0].span_power);
        lift(&p, 0, 1);
        assert_phase(&p, PHASE_LINED);
        assert_int_equal(p.state.openings, setup.has_open ? 1 : 0);
        puppet_run_for(&p, 20000);
        assert_true(p.outputs.track[0].end[0].signal_proceed);
    }
}

static void gate_asked_for_says_when_the_hand_may(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_hand_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    assert_int_equal(puppet_ask(&p, REQUEST_RAISE, 0), ANSWER_GRANTED);
    assert_true(puppet_run_to(&p, PHASE_UNLOCKING, OPENING_US));
    puppet_run_for(&p, 100 * SECOND_US);
    assert_phase(&p, PHASE_UNLOCKING);
    lift(&p, 0, 0);
    lift(&p, 1, 0);
    assert_phase(&p, PHASE_OPEN);
    puppet_ask(&p, REQUEST_LOWER, 0);
    assert_true(p.outputs.horn);
    lift(&p, 0, 1);
    assert_true(puppet_run_to(&p, PHASE_LINED, SECOND_US));
}

static void gate_opened_while_trains_clear_is_known_as_lifted_in_the_end(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_hand_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    p.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
    p.setup.track[0].end[0].approach_lock_us = 2 * setup.clearing_limit_us;
    puppet_ask(&p, REQUEST_NONE, SECOND_US);
    puppet_ask(&p, REQUEST_RAISE, 0);
    lift(&p, 0.5, 0);
    assert_true(puppet_run_to(&p, PHASE_RAISING, setup.clearing_limit_us + SECOND_US));
    lift(&p, 0, 0);
    assert_phase(&p, PHASE_LOCKING);
    lift(&p, 0, 1);
    assert_phase(&p, PHASE_LINED);
}

static void gate_found_anywhere_is_where_the_contacts_say(void **state) {
    (void)state;
    static const struct {
        double span_frac, lock_frac;
        enum bridge_phase want;
    } cases[] = {
        {0, 1, PHASE_LINED}, {0, 0, PHASE_LOCKING}, {0.5, 0, PHASE_RAISING}, {1, 0, PHASE_OPEN}};
    struct bridge_setup setup = puppet_hand_setup();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet p;
        puppet_start(&p, &setup);
        p.span_frac = cases[i].span_frac;
        p.lock_frac = cases[i].lock_frac;
        puppet_run_for(&p, SECOND_US);
        assert_phase(&p, cases[i].want);
    }
}

static void train_under_a_lifted_gate_is_an_overrun(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_hand_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    lift(&p, 0.5, 0);
    p.inputs.track[0].end[1].stop_clear = LEVEL_OFF;
    puppet_ask(&p, REQUEST_NONE, 0);
    assert_int_equal(p.state.fault, FAULT_OVERRUN);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_part_may_be_missing),
        cmocka_unit_test(one_ended_track),
        cmocka_unit_test(train_on_any_of_four_tracks_keeps_the_bridge_down),
        cmocka_unit_test(opening_is_given_up_and_the_bridge_is_lined_again),
        cmocka_unit_test(without_detectors_every_opening_waits_its_whole_time),
        cmocka_unit_test(without_position_the_estimate_slows_the_span_before_its_ends),
        cmocka_unit_test(found_mid_travel_without_position_the_span_creeps_down),
        cmocka_unit_test(moved_by_hand_while_a_fault_stood_the_span_creeps_until_a_contact_tells),
        cmocka_unit_test(without_open_contact_the_measured_position_ends_the_raising),
        cmocka_unit_test(debounced_contacts_open_and_close_all_the_same),
        cmocka_unit_test(bar_worked_by_hand_is_waited_for_and_only_proved),
        cmocka_unit_test(bar_drawn_under_a_lined_bridge_is_a_fault),
        cmocka_unit_test(gate_follows_the_hand),
        cmocka_unit_test(gate_asked_for_says_when_the_hand_may),
        cmocka_unit_test(gate_opened_while_trains_clear_is_known_as_lifted_in_the_end),
        cmocka_unit_test(gate_found_anywhere_is_where_the_contacts_say),
        cmocka_unit_test(train_under_a_lifted_gate_is_an_overrun),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
