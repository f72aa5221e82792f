/* The lock bar by its contacts, by its drive's time where one is missing, and where there is none.
 */
#include "core/lock.h"
#include "core/words/names.h"
#include "support/check.h"
#include "support/core/puppet.h"

enum { SECOND_US = 1000000, STEP_US = 10000, LONG_US = 400 * SECOND_US };

static struct bridge_setup without(bool has_locked, bool has_withdrawn) {
    struct bridge_setup setup = puppet_setup(); /* lock limit 4 s; the puppet's bar takes 1 s */
    setup.has_locked = has_locked;
    setup.has_withdrawn = has_withdrawn;
    return setup;
}

static bool is_withdrawn(const struct puppet *p) {
    return lock_is_withdrawn(&p->setup, &p->state);
}

static bool is_locked(const struct puppet *p) {
    return lock_is_locked(&p->setup, &p->state);
}

/* ---- withdrawn, by time */

static void bar_is_withdrawn_once_it_has_been_driven_so_for_its_longest_time(void **state) {
    (void)state;
    for (int has_locked = 0; has_locked <= 1; has_locked++) {
        struct bridge_setup setup = without(has_locked, false);
        struct puppet p;
        puppet_start_in(&p, &setup, PHASE_UNLOCKING);
        assert_int_equal(p.outputs.lock, LOCK_DRIVE_WITHDRAWN);
        assert_int_equal(lock_wake_us(&p.state), setup.lock_limit_us);
        for (unsigned us = STEP_US; us < setup.lock_limit_us; us += STEP_US) {
            puppet_step(&p, REQUEST_NONE, STEP_US);
            assert_int_equal(p.outputs.lock, LOCK_DRIVE_WITHDRAWN);
            assert_int_equal(p.state.phase, PHASE_UNLOCKING);
        }
        puppet_ask(&p, REQUEST_NONE, STEP_US);
        assert_true(is_withdrawn(&p));
        assert_int_equal(p.state.phase, PHASE_RAISING);
        assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST); /* as with a contact */
        assert_true(puppet_run_to(&p, PHASE_OPEN, LONG_US));
        assert_int_equal(puppet_ask(&p, REQUEST_LOWER, 0), ANSWER_GRANTED);
        assert_true(puppet_run_to(&p, PHASE_LINED, LONG_US));
        assert_false(is_withdrawn(&p)); /* it has been driven since */
    }
}

static void bar_that_still_reads_locked_is_not_withdrawn_by_any_time(void **state) {
    (void)state;
    struct bridge_setup setup = without(true, false);
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_UNLOCKING);
    p.is_frozen = true;
    while (p.state.phase == PHASE_UNLOCKING) {
        assert_false(is_withdrawn(&p));
        puppet_step(&p, REQUEST_NONE, STEP_US);
    }
    assert_string_equal(bridge_fault_name(p.state.fault), "lock-unproved");
}

static void withdrawal_with_a_break_begins_anew(void **state) {
    (void)state;
    struct bridge_setup setup = without(true, false);
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_UNLOCKING);
    puppet_run_for(&p, setup.lock_limit_us - SECOND_US);
    p.state.track[0].end[0].approach_lock_us = STEP_US / 2; /* held for one step */
    p.judge.track[0].end[0].lock_left_us = STEP_US / 2;
    puppet_step(&p, REQUEST_NONE, 0);
    assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
    puppet_step(&p, REQUEST_NONE, STEP_US);
    assert_int_equal(p.outputs.lock, LOCK_DRIVE_WITHDRAWN);
    assert_false(puppet_run_to(&p, PHASE_RAISING, setup.lock_limit_us - STEP_US));
    assert_true(puppet_run_to(&p, PHASE_RAISING, STEP_US));
}

/* ---- what ends a belief */

static struct puppet held_by_time(void) {
    struct bridge_setup setup = without(true, false);
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_HELD);
    assert_true(is_withdrawn(&p));
    return p;
}

static void belief_ends_when_the_other_contact_denies_it(void **state) {
    (void)state;
    for (enum level level = LEVEL_UNKNOWN; level <= LEVEL_ON; level++) {
        struct puppet p = held_by_time();
        p.is_frozen = true;
        p.inputs.locked = level;
        puppet_step(&p, REQUEST_NONE, STEP_US);
        assert_int_equal(is_withdrawn(&p), level == LEVEL_OFF);
        p.inputs.locked = LEVEL_OFF; /* and does not come back by itself */
        puppet_step(&p, REQUEST_NONE, STEP_US);
        assert_int_equal(is_withdrawn(&p), level == LEVEL_OFF);
    }
}

/* The same of the locked bar: here while it waits for trains, where it is no fault yet. */
static void belief_in_the_locked_bar_does_not_come_back_either(void **state) {
    (void)state;
    struct bridge_setup setup = without(false, true);
    struct puppet p;
    puppet_line(&p, &setup);
    p.inputs.track[0].end[0].approach_clear = LEVEL_OFF; /* approach locking holds it */
    puppet_ask(&p, REQUEST_NONE, STEP_US);
    puppet_ask(&p, REQUEST_RAISE, 0);
    p.is_frozen = true;
    p.inputs.withdrawn = LEVEL_ON;
    puppet_step(&p, REQUEST_NONE, STEP_US);
    p.inputs.withdrawn = LEVEL_OFF;
    puppet_step(&p, REQUEST_NONE, STEP_US);
    assert_int_equal(p.state.phase, PHASE_CLEARING);
    assert_false(is_locked(&p));
}

static void belief_ends_with_an_acknowledged_fault(void **state) {
    (void)state;
    for (int is_lost = 0; is_lost <= 1; is_lost++) {
        struct puppet p = held_by_time();
        p.inputs.is_device_lost = is_lost;
        puppet_step(&p, is_lost ? REQUEST_NONE : REQUEST_EMERGENCY_STOP, 0);
        p.inputs.is_device_lost = false;
        puppet_step(&p, REQUEST_NONE, STEP_US);
        assert_int_equal(p.state.phase, PHASE_FAULT);
        assert_int_equal(puppet_step(&p, REQUEST_ACKNOWLEDGE, STEP_US), ANSWER_GRANTED);
        assert_false(is_withdrawn(&p)); /* whoever mended it may have moved the bar */
    }
}

static void drive_the_other_way_ends_a_belief(void **state) {
    (void)state;
    struct bridge_setup setup = without(false, false);
    struct puppet p;
    puppet_line(&p, &setup);
    assert_true(is_locked(&p) && !is_withdrawn(&p));
    puppet_ask(&p, REQUEST_RAISE, 0);
    assert_true(puppet_run_to_with_word(&p, PHASE_UNLOCKING, LONG_US));
    puppet_run_for(&p, STEP_US);
    assert_false(is_locked(&p) || is_withdrawn(&p));
    assert_true(puppet_run_to(&p, PHASE_RAISING, LONG_US));
    assert_true(is_withdrawn(&p) && !is_locked(&p));
    puppet_ask(&p, REQUEST_STOP, 0);
    puppet_ask(&p, REQUEST_LOWER, 0); /* it has not left its seat: lock it again */
    assert_int_equal(p.state.phase, PHASE_LOCKING);
    puppet_run_for(&p, STEP_US);
    assert_false(is_locked(&p) || is_withdrawn(&p));
    assert_true(puppet_run_to(&p, PHASE_LINED, LONG_US));
}

/* ---- locked, by time */

static void after_a_start_the_bar_is_driven_anew_when_asked_and_not_before(void **state) {
    (void)state;
    for (int has_withdrawn = 0; has_withdrawn <= 1; has_withdrawn++) {
        struct bridge_setup setup = without(false, has_withdrawn);
        struct puppet p;
        puppet_start(&p, &setup);
        assert_true(puppet_run_to(&p, PHASE_HELD, SECOND_US));
        puppet_run_for(&p, 10 * SECOND_US);
        assert_int_equal(p.state.phase, PHASE_HELD);
        assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
        assert_int_equal(puppet_ask(&p, REQUEST_LOWER, 0), ANSWER_GRANTED);
        assert_int_equal(p.outputs.lock, LOCK_DRIVE_DRIVEN);
        assert_int_equal(lock_wake_us(&p.state), setup.lock_limit_us);
        assert_false(puppet_run_to(&p, PHASE_LINED, setup.lock_limit_us - STEP_US));
        assert_true(puppet_run_to(&p, PHASE_LINED, STEP_US));
    }
}

static void bar_that_reads_withdrawn_is_not_locked_by_any_time(void **state) {
    (void)state;
    struct bridge_setup setup = without(false, true);
    struct puppet p;
    puppet_start(&p, &setup);
    p.lock_frac = 0;
    assert_true(puppet_run_to(&p, PHASE_HELD, SECOND_US));
    p.is_frozen = true;
    puppet_ask(&p, REQUEST_LOWER, 0);
    while (p.state.phase == PHASE_LOCKING) {
        assert_false(is_locked(&p));
        puppet_step(&p, REQUEST_NONE, STEP_US);
    }
    assert_string_equal(bridge_fault_name(p.state.fault), "lock-unproved");
}

static void lined_by_time_falls_with_seat_and_with_the_withdrawn_contact(void **state) {
    (void)state;
    for (int is_seat = 0; is_seat <= 1; is_seat++) {
        struct bridge_setup setup = without(false, true);
        struct puppet p;
        puppet_line(&p, &setup);
        p.is_frozen = true;
        p.inputs.seated = is_seat ? LEVEL_OFF : LEVEL_ON;
        p.inputs.rail[0] = is_seat ? LEVEL_OFF : LEVEL_ON;
        p.inputs.withdrawn = is_seat ? LEVEL_OFF : LEVEL_ON;
        puppet_step(&p, REQUEST_NONE, STEP_US);
        assert_int_equal(p.state.phase, PHASE_FAULT);
        assert_false(p.outputs.track[0].span_power);
        assert_false(is_locked(&p));
    }
}

/* ---- no bar, and none with a drive */

static void span_without_a_bar_is_locked_by_its_seat(void **state) {
    (void)state;
    struct bridge_setup setup = without(false, false);
    setup.has_lock = setup.has_lock_drive = false;
    struct puppet p;
    puppet_line(&p, &setup);
    puppet_ask(&p, REQUEST_RAISE, 0);
    while (p.state.phase != PHASE_OPEN) {
        puppet_ask(&p, REQUEST_NONE, STEP_US);
        assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
        assert_int_not_equal(p.state.phase, PHASE_FAULT);
    }
    assert_false(is_locked(&p));
    puppet_ask(&p, REQUEST_LOWER, 0);
    assert_true(puppet_run_to(&p, PHASE_LINED, LONG_US));
    assert_int_equal(lock_driving_limit_us(&setup), 0);
    assert_int_equal(lock_withdrawing_limit_us(&setup), 0);
}

/* Its seat still reads made in the first steps, and yet it is on its way. */
static void s8_train_under_a_span_without_a_bar_stops_it_as_it_leaves_its_seat(void **state) {
    (void)state;
    struct bridge_setup setup = without(false, false);
    setup.has_lock = setup.has_lock_drive = false;
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_RAISING);
    assert_int_equal(p.inputs.seated, LEVEL_ON);
    assert_true(p.outputs.lift_effort > 0);
    p.inputs.track[0].span_clear = LEVEL_OFF;
    puppet_step(&p, REQUEST_NONE, STEP_US);
    assert_true(p.outputs.lift_effort == 0);
    assert_string_equal(bridge_fault_name(p.state.fault), "overrun");
}

/* Its seat alone would let it have power, and being at rest be driven. */
static void jogged_span_without_a_bar_has_no_power(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.has_lock = setup.has_lock_drive = setup.has_locked = setup.has_withdrawn = false;
    struct puppet p;
    puppet_line(&p, &setup);
    assert_int_equal(puppet_ask(&p, REQUEST_POWER_OFF, 0), ANSWER_GRANTED);
    puppet_run_for(&p, SECOND_US);
    assert_int_equal(puppet_ask(&p, REQUEST_RAISE, 0), ANSWER_GRANTED);
    p.state.is_cut = false; /* as a stop while clearing leaves it */
    puppet_step(&p, REQUEST_STOP, 0);
    assert_int_equal(p.state.phase, PHASE_HELD);
    p.state.is_cut = false;
    p.state.is_power_wanted = true;
    assert_int_equal(puppet_step(&p, REQUEST_JOG_UP, STEP_US), ANSWER_GRANTED);
    assert_true(p.outputs.lift_effort > 0);
    assert_false(p.outputs.track[0].span_power || p.outputs.track[0].end[0].stop_power);
    puppet_run_for(&p, SECOND_US); /* nor when it rests again */
    assert_false(p.outputs.track[0].span_power);
}

static void acknowledged_bridge_does_not_take_the_bar_for_locked_by_its_time(void **state) {
    (void)state;
    struct bridge_setup setup = without(false, false);
    struct puppet p;
    puppet_line(&p, &setup);
    puppet_ask(&p, REQUEST_EMERGENCY_STOP, STEP_US);
    assert_int_equal(puppet_ask(&p, REQUEST_ACKNOWLEDGE, STEP_US), ANSWER_GRANTED);
    assert_int_equal(p.state.phase, PHASE_HELD);
}

/* S8: the acknowledgment would leave a train on a bar that nothing proves. */
static void fault_is_not_acknowledged_under_a_train_on_a_bar_without_its_contact(void **state) {
    (void)state;
    for (int has_locked = 0; has_locked <= 1; has_locked++) {
        struct bridge_setup setup = without(has_locked, false);
        struct puppet p;
        puppet_line(&p, &setup);
        p.inputs.track[0].span_clear = LEVEL_OFF;
        puppet_ask(&p, REQUEST_EMERGENCY_STOP, STEP_US);
        enum bridge_answer answer = has_locked ? ANSWER_GRANTED : ANSWER_NOT_SAFE;
        assert_int_equal(puppet_ask(&p, REQUEST_ACKNOWLEDGE, STEP_US), answer);
        p.inputs.track[0].span_clear = LEVEL_ON;
        answer = has_locked ? ANSWER_ALREADY : ANSWER_GRANTED;
        assert_int_equal(puppet_ask(&p, REQUEST_ACKNOWLEDGE, STEP_US), answer);
    }
}

/* What the hand has to lift it lifts, and no drive: with a contact that proves the bar withdrawn
 * all that a lift would need is proved. */
static void hand_lifted_span_with_a_withdrawn_contact_is_never_driven(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_hand_setup();
    setup.has_withdrawn = true;
    struct puppet p;
    puppet_line(&p, &setup);
    p.lock_frac = 0;
    puppet_run_for(&p, setup.proof_limit_us);
    for (int direction = 1; direction >= -1; direction -= 2) {
        for (unsigned i = 0; i < 200; i++) {
            puppet_ask(&p, i == 0 ? direction > 0 ? REQUEST_RAISE : REQUEST_LOWER : REQUEST_NONE,
                       STEP_US);
            p.span_frac += direction * 0.005;
            assert_true(p.outputs.lift_effort == 0 && !p.outputs.brake_released);
            assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
        }
        assert_int_equal(p.state.phase, direction > 0 ? PHASE_OPEN : PHASE_LOCKING);
    }
}

/* Asked for, unlocked, and not lifted yet: it is left to the hand. */
static void hand_that_waits_keeps_its_opening(void **state) {
    (void)state;
    for (int has_lock = 0; has_lock <= 1; has_lock++) {
        struct bridge_setup setup = puppet_hand_setup();
        setup.has_lock = setup.has_locked = setup.has_withdrawn = has_lock;
        struct puppet p;
        puppet_line(&p, &setup);
        puppet_ask(&p, REQUEST_RAISE, 0);
        assert_true(puppet_run_to(&p, PHASE_UNLOCKING, LONG_US));
        p.lock_frac = 0;
        puppet_run_for(&p, 30 * SECOND_US);
        assert_int_equal(p.state.phase, PHASE_UNLOCKING);
        assert_int_equal(bridge_waiting(&p.setup, &p.state, &p.inputs).what, WAIT_HAND_TRAVEL);
        p.span_frac = 1;
        assert_true(puppet_run_to(&p, PHASE_OPEN, SECOND_US));
        p.span_frac = 0;
        p.lock_frac = 1;
        assert_true(puppet_run_to(&p, PHASE_LINED, SECOND_US));
    }
}

/* A drive that needs its whole time as proof is given as much again before it is at fault. */
static void longest_times_of_the_bar(void **state) {
    (void)state;
    struct bridge_setup setup = without(true, false);
    assert_int_equal(lock_driving_limit_us(&setup), 4 * SECOND_US);
    assert_int_equal(lock_withdrawing_limit_us(&setup), 8 * SECOND_US);
    setup = without(false, true);
    assert_int_equal(lock_driving_limit_us(&setup), 8 * SECOND_US);
    assert_int_equal(lock_withdrawing_limit_us(&setup), 4 * SECOND_US);
    setup.lock_limit_us = UINT32_MAX - 1;
    assert_true(lock_driving_limit_us(&setup) == UINT32_MAX);
    setup.has_lock_drive = false;
    assert_int_equal(lock_driving_limit_us(&setup), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bar_is_withdrawn_once_it_has_been_driven_so_for_its_longest_time),
        cmocka_unit_test(bar_that_still_reads_locked_is_not_withdrawn_by_any_time),
        cmocka_unit_test(withdrawal_with_a_break_begins_anew),
        cmocka_unit_test(belief_ends_when_the_other_contact_denies_it),
        cmocka_unit_test(belief_in_the_locked_bar_does_not_come_back_either),
        cmocka_unit_test(belief_ends_with_an_acknowledged_fault),
        cmocka_unit_test(drive_the_other_way_ends_a_belief),
        cmocka_unit_test(after_a_start_the_bar_is_driven_anew_when_asked_and_not_before),
        cmocka_unit_test(bar_that_reads_withdrawn_is_not_locked_by_any_time),
        cmocka_unit_test(lined_by_time_falls_with_seat_and_with_the_withdrawn_contact),
        cmocka_unit_test(span_without_a_bar_is_locked_by_its_seat),
        cmocka_unit_test(s8_train_under_a_span_without_a_bar_stops_it_as_it_leaves_its_seat),
        cmocka_unit_test(jogged_span_without_a_bar_has_no_power),
        cmocka_unit_test(acknowledged_bridge_does_not_take_the_bar_for_locked_by_its_time),
        cmocka_unit_test(fault_is_not_acknowledged_under_a_train_on_a_bar_without_its_contact),
        cmocka_unit_test(hand_lifted_span_with_a_withdrawn_contact_is_never_driven),
        cmocka_unit_test(hand_that_waits_keeps_its_opening),
        cmocka_unit_test(longest_times_of_the_bar),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
