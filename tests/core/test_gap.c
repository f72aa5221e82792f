/* A look that comes late: what must hold is credited only with time in which somebody looked;
 * limits run on, and a lift or lock that went on by itself is a fault. */
#include "core/bridge.h"
#include "core/words/names.h"
#include "support/check.h"
#include "support/core/puppet.h"

enum { SECOND_US = 1000000, STEP_US = 10000 };

/* One look after `dt_us`, of which `late_us` were not planned. */
static void look(struct puppet *p, uint32_t dt_us, uint32_t late_us) {
    p->inputs.late_us = late_us;
    puppet_step(p, REQUEST_NONE, dt_us);
    p->inputs.late_us = 0;
}

static struct bridge_setup bare_setup(void) {
    struct bridge_setup setup = puppet_setup();
    setup.track[0].has_span_detector = setup.track[0].has_span_power_proof = false;
    setup.track[0].end[0].has_signal_proof = false;
    setup.track[0].end[0].has_stop_power_proof = false;
    setup.track[0].run_out_us = 40 * SECOND_US;
    setup.debounce_us = 500000;
    return setup;
}

/* Each with a member of the state that must not come nearer to its end in a gap. */
static void evidence_is_credited_with_seen_time_alone(void **state) {
    (void)state;
    static const size_t evidence[] = {
        offsetof(struct bridge_state, contacts.seated.left_us),
        offsetof(struct bridge_state, track[0].end[1].stop_clear.left_us),
        offsetof(struct bridge_state, track[0].end[1].approach_clear.left_us),
        offsetof(struct bridge_state, track[0].end[1].approach_lock_us),
        offsetof(struct bridge_state, track[0].end[0].told_stop.left_us),
        offsetof(struct bridge_state, track[0].end[0].told_off.left_us),
        offsetof(struct bridge_state, track[0].told_off.left_us),
    };
    struct bridge_setup setup = bare_setup();
    struct puppet p;
    puppet_start(&p, &setup);
    look(&p, 0, 0);
    for (size_t i = 0; i < sizeof evidence / sizeof evidence[0]; i++) {
        const uint32_t *left_us = (const uint32_t *)((const char *)&p.state + evidence[i]);
        struct puppet late = p;
        const uint32_t *late_us = (const uint32_t *)((const char *)&late.state + evidence[i]);
        look(&late, 5 * SECOND_US, 5 * SECOND_US);
        assert_int_equal(*late_us, *left_us);
        assert_true(*left_us > 0);
        look(&late, 5 * SECOND_US, 5 * SECOND_US - STEP_US); /* planned: the rest of it */
        assert_int_equal(*late_us, *left_us - STEP_US);
        look(&late, 0, 5 * SECOND_US); /* looked at again at once */
        assert_int_equal(*late_us, *left_us - STEP_US);
    }
}

/* The signals are settled, and a track that is not watched whole runs out. */
static struct puppet running_out(void) {
    struct bridge_setup setup = bare_setup();
    setup.debounce_us = 0;
    struct puppet p;
    puppet_line(&p, &setup);
    puppet_ask(&p, REQUEST_RAISE, 0);
    puppet_run_for(&p, 3 * SECOND_US);
    return p;
}

static void section_spans_and_run_out_are_credited_so_too(void **state) {
    (void)state;
    struct puppet p = running_out();
    uint32_t left_us = p.state.track[0].run_out.left_us;
    assert_in_range(left_us, 38 * SECOND_US, 40 * SECOND_US);
    for (unsigned i = 0; i < 39; i++) {
        look(&p, LATE_MOST_US, LATE_MOST_US);
    }
    assert_int_equal(p.state.track[0].run_out.left_us, left_us);

    struct bridge_setup setup = puppet_setup();
    puppet_line(&p, &setup);
    p.inputs.track[0].span_clear = LEVEL_OFF;
    puppet_ask(&p, REQUEST_RAISE, 0);
    p.inputs.track[0].span_clear = LEVEL_ON;
    puppet_ask(&p, REQUEST_NONE, STEP_US);
    look(&p, 10 * SECOND_US, 10 * SECOND_US);
    assert_int_equal(p.state.track[0].span_clear.left_us, setup.clear_us);
}

static void drive_of_the_bar_is_credited_so_too(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.has_locked = setup.has_withdrawn = false;
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_UNLOCKING);
    look(&p, SECOND_US, SECOND_US);
    assert_int_equal(p.state.lock.withdrawn.left_us, setup.lock_limit_us);
    puppet_start_in(&p, &setup, PHASE_LOCKING);
    look(&p, SECOND_US, SECOND_US / 2);
    assert_int_equal(p.state.lock.driven.left_us, setup.lock_limit_us - SECOND_US / 2);
}

/* Whatever lets a train in may have come and gone meanwhile, where there is power. */
static void run_out_begins_anew_after_a_gap_under_power(void **state) {
    (void)state;
    struct puppet p = running_out();
    struct puppet in_time = p;
    look(&p, LATE_MOST_US + 1 + STEP_US, LATE_MOST_US + 1);
    assert_false(p.state.track[0].run_out.is_running);
    puppet_ask(&p, REQUEST_NONE, STEP_US);
    assert_int_equal(p.state.track[0].run_out.left_us, p.setup.track[0].run_out_us);
    look(&in_time, LATE_MOST_US + STEP_US, LATE_MOST_US);
    assert_true(in_time.state.track[0].run_out.is_running);

    p = running_out();
    assert_true(puppet_run_to(&p, PHASE_WARNING, 60 * (uint64_t)SECOND_US));
    look(&p, 5 * SECOND_US, 5 * SECOND_US); /* nothing drives in without power */
    assert_int_equal(p.state.phase, PHASE_WARNING);
    assert_true(p.state.track[0].run_out.is_running);
}

/* Whatever was planned: a gap of more than a second within it is one, and is not held for time in
 * which something was seen. */
static void looks_are_planned_often_while_any_time_runs(void **state) {
    (void)state;
    struct bridge_setup setup = bare_setup();
    setup.has_locked = setup.has_withdrawn = false;
    struct puppet p;
    unsigned resting = 0;
    puppet_line(&p, &setup);
    puppet_ask(&p, REQUEST_RAISE, 0);
    for (unsigned i = 0; i < 20000 && p.state.phase != PHASE_OPEN; i++) {
        assert_true(bridge_wake_us(&p.setup, &p.state) <= LOOK_PERIOD_US);
        puppet_ask(&p, REQUEST_NONE, STEP_US);
    }
    assert_int_equal(p.state.phase, PHASE_OPEN);
    for (unsigned i = 0; i < 1000; i++) {
        resting += bridge_wake_us(&p.setup, &p.state) == UINT32_MAX;
        puppet_ask(&p, REQUEST_NONE, STEP_US);
    }
    assert_true(resting > 0);
}

/* As the daemon sleeps: until the time to wake, and a freeze of 3 s goes on top. */
static void freeze_while_a_bar_without_contacts_is_driven_is_a_fault(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.has_locked = setup.has_withdrawn = false;
    static const enum bridge_phase phases[] = {PHASE_UNLOCKING, PHASE_LOCKING};
    for (size_t i = 0; i < sizeof phases / sizeof phases[0]; i++) {
        struct puppet p;
        puppet_start_in(&p, &setup, phases[i]);
        uint32_t planned_us = bridge_wake_us(&p.setup, &p.state);
        assert_true(planned_us < 3 * SECOND_US);
        look(&p, 3 * SECOND_US, 3 * SECOND_US - planned_us);
        assert_int_equal(p.state.fault, FAULT_LATE);
    }
}

/* Its time as evidence and that of a proof that never comes would part in a gap. */
static void signal_without_a_proof_is_no_fault_after_a_gap(void **state) {
    (void)state;
    struct bridge_setup setup = bare_setup();
    struct puppet p;
    puppet_start(&p, &setup);
    look(&p, 0, 0);
    look(&p, 30 * SECOND_US, 30 * SECOND_US);
    assert_int_not_equal(p.state.phase, PHASE_FAULT);
}

/* One that waited in a socket meanwhile is read with the first look, or soon after. */
static void word_may_be_as_old_as_a_gap(void **state) {
    (void)state;
    struct puppet p = running_out();
    struct puppet stopped = p;
    p.inputs.late_us = LATE_MOST_US + 1;
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 2 * SECOND_US), ANSWER_TOO_OLD);
    p.inputs.late_us = 0;
    puppet_run_for(&p, WORD_BARRED_US - STEP_US);
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_TOO_OLD);
    look(&p, 5 * SECOND_US, 5 * SECOND_US); /* another gap is no time in which somebody looked */
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_TOO_OLD);
    puppet_run_for(&p, WORD_BARRED_US);
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_GRANTED);

    puppet_ask(&stopped, REQUEST_STOP, 0); /* a stop never waits; and a look in time is no gap */
    puppet_run_for(&stopped, 5 * SECOND_US);
    assert_int_equal(stopped.state.phase, PHASE_HELD);
    assert_int_equal(bridge_wake_us(&stopped.setup, &stopped.state), LOOK_PERIOD_US);
    assert_int_equal(puppet_ask(&stopped, REQUEST_SEEN_CLEAR, 2 * LATE_MOST_US), ANSWER_GRANTED);
}

/* Nothing was planned for the bridge at rest, so that nobody knows for how long both have waited.
 */
static void word_along_with_its_opening_may_be_old(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.track[0].has_span_detector = false;
    setup.track[0].end[0].is_automatic = setup.track[0].end[1].is_automatic = false;
    struct puppet p;
    puppet_line(&p, &setup);
    assert_int_equal(bridge_wake_us(&p.setup, &p.state), UINT32_MAX);
    assert_int_equal(puppet_ask(&p, REQUEST_RAISE, 60 * SECOND_US), ANSWER_GRANTED);
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_TOO_OLD);
    puppet_run_for(&p, WORD_BARRED_US);
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_GRANTED);
    assert_int_equal(p.state.phase, PHASE_WARNING);
}

static void word_and_limits_run_on_in_a_gap(void **state) {
    (void)state;
    struct puppet p = running_out();
    puppet_ask(&p, REQUEST_STOP, 0);
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_GRANTED);
    look(&p, SEEN_CLEAR_US, SEEN_CLEAR_US);
    assert_int_equal(p.state.seen_clear_left_us, 0);

    struct bridge_setup setup = puppet_setup();
    puppet_line(&p, &setup);
    p.inputs.track[0].span_clear = LEVEL_OFF;
    puppet_ask(&p, REQUEST_RAISE, 0);
    look(&p, setup.clearing_limit_us, setup.clearing_limit_us);
    assert_true(p.state.has_given_up);
}

/* In the step in which it is seen. */
static void gap_while_lift_or_lock_are_driven_is_a_fault(void **state) {
    (void)state;
    static const enum bridge_phase driven[] = {PHASE_UNLOCKING, PHASE_RAISING, PHASE_LOWERING,
                                               PHASE_SEATING, PHASE_LOCKING};
    struct bridge_setup setup = puppet_setup();
    for (enum bridge_phase phase = 0; phase < BRIDGE_PHASES; phase++) {
        bool is_driven = false;
        for (size_t i = 0; i < sizeof driven / sizeof driven[0]; i++) {
            is_driven = is_driven || driven[i] == phase;
        }
        for (uint32_t late_us = LATE_MOST_US; late_us <= LATE_MOST_US + 1; late_us++) {
            struct puppet p;
            puppet_start_in(&p, &setup, phase);
            bool is_fault = is_driven && late_us > LATE_MOST_US;
            p.inputs.late_us = late_us;
            puppet_step(&p, REQUEST_NONE, late_us + STEP_US);
            assert_int_equal(p.state.fault == FAULT_LATE, is_fault);
            assert_true(!is_fault || (p.outputs.lift_effort == 0 &&
                                      p.outputs.lock == LOCK_DRIVE_REST && !p.outputs.horn));
        }
    }
}

/* It came late, and what it then started was not driven in the gap. */
static void looking_again_at_once_is_not_late(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_UNLOCKING);
    p.inputs.late_us = 5 * SECOND_US;
    puppet_step(&p, REQUEST_NONE, 0);
    assert_int_equal(p.state.phase, PHASE_UNLOCKING);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(evidence_is_credited_with_seen_time_alone),
        cmocka_unit_test(section_spans_and_run_out_are_credited_so_too),
        cmocka_unit_test(drive_of_the_bar_is_credited_so_too),
        cmocka_unit_test(run_out_begins_anew_after_a_gap_under_power),
        cmocka_unit_test(looks_are_planned_often_while_any_time_runs),
        cmocka_unit_test(freeze_while_a_bar_without_contacts_is_driven_is_a_fault),
        cmocka_unit_test(signal_without_a_proof_is_no_fault_after_a_gap),
        cmocka_unit_test(word_may_be_as_old_as_a_gap),
        cmocka_unit_test(word_along_with_its_opening_may_be_old),
        cmocka_unit_test(word_and_limits_run_on_in_a_gap),
        cmocka_unit_test(gap_while_lift_or_lock_are_driven_is_a_fault),
        cmocka_unit_test(looking_again_at_once_is_not_late),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
