/* One whole opening, step by step: the order that movable-bridge practice wants (signals, sections,
 * lock, span, and back in reverse) and L1. The puppet judges the invariants in every step. */
#include "core/words/names.h"
#include "support/check.h"
#include "support/core/core_parts.h"
#include "support/core/puppet.h"

#include <stddef.h>

static void span_proved_by_contacts_is_lined_after_start(void **state) {
    (void)state;
    struct puppet p;
    struct bridge_setup setup = puppet_setup();
    puppet_start(&p, &setup);
    assert_int_equal(p.state.phase, PHASE_UNPROVED);
    assert_true(puppet_run_to(&p, PHASE_LINED, 1000000));
}

static void l1_request_to_raise_reaches_open_and_to_lower_reaches_lined(void **state) {
    (void)state;
    struct puppet p;
    struct bridge_setup setup = puppet_setup();
    puppet_line(&p, &setup);
    assert_true(p.outputs.track[0].end[0].signal_proceed);

    assert_int_equal(puppet_ask(&p, REQUEST_RAISE, 0), ANSWER_GRANTED);
    assert_false(p.outputs.track[0].end[0].signal_proceed);
    assert_true(puppet_run_to(&p, PHASE_OPEN, 100000000));
    assert_int_equal(p.outputs.river, RIVER_GREEN);
    assert_int_equal(puppet_ask(&p, REQUEST_LOWER, 0), ANSWER_GRANTED);
    assert_true(puppet_run_to(&p, PHASE_LINED, 100000000));
    puppet_run_for(&p, 1000000);
    assert_true(p.outputs.track[0].end[0].signal_proceed);
    assert_true(p.outputs.track[0].end[1].signal_proceed);
    assert_int_equal(p.state.openings, 1);
}

/* Order: common practice for movable bridges (AREMA Manual ch. 15 part 6, from memory). */
static void phases_follow_one_another_in_the_order_of_practice(void **state) {
    (void)state;
    static const enum bridge_phase order[] = {
        PHASE_CLEARING, PHASE_CUTTING, PHASE_WARNING,   PHASE_UNLOCKING, PHASE_RAISING,
        PHASE_OPEN,     PHASE_WARNING, PHASE_UNLOCKING, PHASE_LOWERING,  PHASE_SEATING,
        PHASE_LOCKING,  PHASE_PROVING, PHASE_LINED,
    };
    struct puppet p;
    struct bridge_setup setup = puppet_setup();
    puppet_line(&p, &setup);
    enum bridge_request_kind next = REQUEST_RAISE;
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        enum bridge_phase before = p.state.phase;
        for (unsigned turns = 0; p.state.phase == before; turns++) {
            assert_true(turns < 10000);
            puppet_step(&p, next, 10000); /* one bare step, so that no phase passes unseen */
            next = REQUEST_NONE;
        }
        assert_string_equal(bridge_phase_name(p.state.phase), bridge_phase_name(order[i]));
        next = p.state.phase == PHASE_OPEN ? REQUEST_LOWER : REQUEST_NONE;
    }
}

/* 49 CFR 236.312, from memory: no signal over a movable bridge clears before the bridge is locked
 * and its track in line. On the way down, with each proof alone still to come, four rails. */
static void signals_clear_after_seat_lock_and_every_rail_is_proved(void **state) {
    (void)state;
    static const size_t proofs[] = {
        offsetof(struct bridge_inputs, seated),  offsetof(struct bridge_inputs, locked),
        offsetof(struct bridge_inputs, rail[0]), offsetof(struct bridge_inputs, rail[1]),
        offsetof(struct bridge_inputs, rail[2]), offsetof(struct bridge_inputs, rail[3]),
    };
    struct bridge_setup setup = puppet_setup();
    setup.rails = BRIDGE_RAILS_MAX;
    struct puppet proving;
    puppet_start_in(&proving, &setup, PHASE_PROVING);
    proving.is_frozen = true;
    for (size_t i = 0; i < sizeof proofs / sizeof proofs[0]; i++) {
        struct puppet p = proving;
        enum level *proof = core_level_at(&p.inputs, proofs[i]);
        const enum level proved = *proof;
        assert_int_equal(proved, LEVEL_ON);
        *proof = LEVEL_OFF;
        for (unsigned seconds = 0; seconds < 20; seconds++) {
            puppet_step(&p, REQUEST_NONE, 1000000);
            assert_false(p.outputs.track[0].end[0].signal_proceed);
            assert_false(p.outputs.track[0].end[1].signal_proceed);
            assert_false(p.outputs.track[0].span_power);
        }
    }
    puppet_run_for(&proving, 10000000);
    assert_int_equal(proving.state.phase, PHASE_LINED); /* with all of them it goes on */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(span_proved_by_contacts_is_lined_after_start),
        cmocka_unit_test(l1_request_to_raise_reaches_open_and_to_lower_reaches_lined),
        cmocka_unit_test(phases_follow_one_another_in_the_order_of_practice),
        cmocka_unit_test(signals_clear_after_seat_lock_and_every_rail_is_proved),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
