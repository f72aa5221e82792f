/* The whole: how it starts, what each phase puts out, and when it must be looked at again. */
#include "core/bridge.h"
#include "core/motion.h"
#include "core/words/names.h"
#include "support/check.h"
#include "support/core/core_near.h"
#include "support/core/core_walk.h"
#include "support/core/puppet.h"

#include <string.h>

enum { SECOND_US = 1000000, HOUR_US = 3600000000U };

/* ---- start */

static void start_remembers_nothing_and_wants_automatic_signals(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.track[0].end[1].is_automatic = false;
    struct bridge_state bridge;
    memset(&bridge, 0xff, sizeof bridge);
    bridge_start(&setup, &bridge);
    assert_int_equal(bridge.phase, PHASE_UNPROVED);
    assert_int_equal(bridge.fault, FAULT_NONE);
    assert_int_equal(bridge.goal, GOAL_NONE);
    assert_int_equal(bridge.openings, 0);
    assert_true(bridge.is_cut);
    assert_true(bridge.is_power_wanted);
    assert_false(bridge.motion.is_known);
    assert_true(bridge.track[0].end[0].is_proceed_wanted);
    assert_false(bridge.track[0].end[1].is_proceed_wanted);
}

static void outputs_are_written_whole_and_safe_while_unproved(void **state) {
    (void)state;
    const struct bridge_outputs safe = {0};
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start(&p, &setup);
    p.inputs.seated = LEVEL_UNKNOWN;
    p.is_frozen = true;
    memset(&p.outputs, 0xff, sizeof p.outputs);
    const struct bridge_request nothing = {.kind = REQUEST_NONE};
    bridge_step(&p.setup, &p.state, &p.inputs, &nothing, 0, &p.outputs);
    assert_int_equal(p.state.phase, PHASE_UNPROVED);
    assert_memory_equal(&p.outputs, &safe, sizeof safe);
}

static void contacts_count_once_debounced(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.debounce_us = 20000;
    struct puppet p;
    puppet_start(&p, &setup);
    puppet_step(&p, REQUEST_NONE, 0);
    assert_int_equal(bridge_wake_us(&p.setup, &p.state), 20000);
    puppet_step(&p, REQUEST_NONE, 19999);
    assert_int_equal(p.state.phase, PHASE_UNPROVED);
    puppet_step(&p, REQUEST_NONE, 1);
    assert_int_equal(p.state.phase, PHASE_PROVING);
}

/* ---- what each phase puts out */

static void outputs_of_each_phase(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase phase;
        int lift;
        enum lock_drive lock;
        enum river_lights river;
        bool horn;
        bool power;
    } cases[] = {
        {PHASE_LINED, 0, LOCK_DRIVE_REST, RIVER_RED, false, true},
        {PHASE_CLEARING, 0, LOCK_DRIVE_REST, RIVER_RED, false, true},
        {PHASE_CUTTING, 0, LOCK_DRIVE_REST, RIVER_RED, false, false},
        {PHASE_WARNING, 0, LOCK_DRIVE_REST, RIVER_RED, true, false},
        {PHASE_UNLOCKING, 0, LOCK_DRIVE_WITHDRAWN, RIVER_RED, false, false},
        {PHASE_RAISING, 1, LOCK_DRIVE_REST, RIVER_RED, false, false},
        {PHASE_OPEN, 0, LOCK_DRIVE_REST, RIVER_GREEN, false, false},
        {PHASE_LOWERING, -1, LOCK_DRIVE_REST, RIVER_RED_FLASHING, false, false},
        {PHASE_SEATING, -1, LOCK_DRIVE_REST, RIVER_RED_FLASHING, false, false},
        {PHASE_LOCKING, 0, LOCK_DRIVE_DRIVEN, RIVER_RED, false, false},
        {PHASE_PROVING, 0, LOCK_DRIVE_REST, RIVER_RED, false, false},
        {PHASE_HELD, 0, LOCK_DRIVE_REST, RIVER_RED, false, false},
        {PHASE_FAULT, 0, LOCK_DRIVE_REST, RIVER_RED, false, false},
    };
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet p;
        puppet_start_in(&p, &setup, cases[i].phase);
        const struct bridge_outputs *out = &p.outputs;
        int lift = out->lift_effort > 0 ? 1 : out->lift_effort < 0 ? -1 : 0;
        if (lift != cases[i].lift || out->lock != cases[i].lock || out->river != cases[i].river ||
            out->horn != cases[i].horn || out->track[0].span_power != cases[i].power ||
            out->brake_released != (lift != 0) || bridge_is_moving(out) != (lift != 0)) {
            fail_msg("%s", bridge_phase_name(cases[i].phase));
        }
        assert_int_equal(bridge_is_lined(&p.state), cases[i].phase == PHASE_LINED);
    }
}

/* Green only fully open (33 CFR 118.80, from memory); flashing red from the warning of the closing
 * on (33 CFR 117.313, as a model). */
static void river_flashes_from_the_warning_of_the_closing(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_OPEN);
    assert_int_equal(p.outputs.river, RIVER_GREEN);
    puppet_ask(&p, REQUEST_LOWER, 0);
    assert_int_equal(p.state.phase, PHASE_WARNING);
    assert_int_equal(p.outputs.river, RIVER_RED_FLASHING);
    for (unsigned phase = BRIDGE_PHASES; phase <= BRIDGE_PHASES + 1; phase++) { /* none at all */
        p.state.phase = (enum bridge_phase)phase;
        puppet_step(&p, REQUEST_NONE, 0);
        assert_int_equal(p.outputs.river, RIVER_RED);
    }
}

static void lock_rests_once_it_is_where_it_should_be(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_UNLOCKING);
    p.state.goal = GOAL_NONE; /* so that it stays */
    p.lock_frac = 0;
    puppet_step(&p, REQUEST_NONE, 0);
    assert_int_equal(p.state.phase, PHASE_UNLOCKING);
    assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);

    puppet_start_in(&p, &setup, PHASE_UNLOCKING);
    assert_int_equal(p.outputs.lock, LOCK_DRIVE_WITHDRAWN);
    p.inputs.track[0].end[0].signal_at_stop = LEVEL_OFF; /* no leave */
    puppet_step(&p, REQUEST_NONE, 0);
    assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
}

static void locked_bar_is_not_driven_further(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.has_lock_drive = true;
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_WARNING);
    puppet_step(&p, REQUEST_LOWER, 0); /* called off: to locking, and locked already */
    assert_int_equal(p.state.phase, PHASE_PROVING);
    assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
}

static void seat_is_pushed_on_with_limited_effort_for_a_while(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.motion.effort_push = 0.35; /* unlike creep */
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_SEATING);
    while (p.inputs.seated != LEVEL_ON) {
        assert_true(p.outputs.lift_effort < 0);
        puppet_step(&p, REQUEST_NONE, 10000);
    }
    uint32_t pushed_us = 0;
    for (; p.state.phase == PHASE_SEATING; pushed_us += 10000) {
        assert_near(p.outputs.lift_effort, -setup.motion.effort_push, 1e-12);
        puppet_step(&p, REQUEST_NONE, 10000);
    }
    assert_in_range(pushed_us, setup.motion.push_us - 10000, setup.motion.push_us + 10000);
    assert_int_equal(p.state.phase, PHASE_LOCKING);
    assert_near(p.outputs.lift_effort, 0, 0);
}

static void span_that_moves_while_it_should_rest_is_a_fault(void **state) {
    (void)state;
    static const enum bridge_phase resting[] = {PHASE_OPEN, PHASE_HELD, PHASE_CLEARING,
                                                PHASE_CUTTING, PHASE_WARNING};
    struct bridge_setup setup = puppet_setup(); /* drift beyond 0.02 */
    for (size_t i = 0; i < sizeof resting / sizeof resting[0]; i++) {
        struct puppet p;
        puppet_start_in(&p, &setup, resting[i]);
        p.is_frozen = true;
        puppet_step(&p, REQUEST_NONE, 2 * SECOND_US); /* where it has come to rest */
        p.state.phase = resting[i];
        p.inputs.position_frac += resting[i] == PHASE_OPEN ? -0.025 : 0.025;
        puppet_step(&p, REQUEST_NONE, 0);
        assert_int_equal(p.state.fault, FAULT_DRIFT);
    }
}

/* ---- time */

static void request_after_a_long_rest_gets_its_whole_time(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    puppet_ask(&p, REQUEST_RAISE, HOUR_US); /* nothing to do for an hour, then this */
    assert_false(p.state.has_given_up);
    assert_int_equal(p.state.phase, PHASE_WARNING);
    assert_true(puppet_run_to(&p, PHASE_OPEN, 100000000));

    puppet_start_in(&p, &setup, PHASE_LOCKING);
    puppet_step(&p, REQUEST_STOP, 0);
    assert_int_equal(puppet_ask(&p, REQUEST_LOWER, HOUR_US), ANSWER_GRANTED);
    assert_true(puppet_run_to(&p, PHASE_LINED, 10000000));
}

static void longest_time_acts_in_the_step_that_ends_it(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase phase;
        enum bridge_fault want;
    } cases[] = {
        {PHASE_UNLOCKING, FAULT_LOCK_UNPROVED},
        {PHASE_LOCKING, FAULT_LOCK_UNPROVED},
        {PHASE_PROVING, FAULT_RAILS_UNPROVED},
    };
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet p;
        puppet_start_in(&p, &setup, cases[i].phase);
        p.is_frozen = true; /* nothing moves any more */
        p.inputs.rail[0] = LEVEL_OFF;
        uint32_t limit_us = p.state.phase_limit.left_us;
        puppet_step(&p, REQUEST_NONE, limit_us - 1);
        assert_int_equal(p.state.phase, cases[i].phase);
        assert_int_equal(bridge_wake_us(&p.setup, &p.state), 1);
        puppet_step(&p, REQUEST_NONE, 1);
        assert_int_equal(p.state.fault, cases[i].want);
    }
}

static void quiet_lined_bridge_sleeps(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    assert_int_equal(bridge_wake_us(&p.setup, &p.state), UINT32_MAX);
}

static void moving_bridge_is_looked_at_every_period(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_LOWERING);
    assert_int_equal(bridge_wake_us(&p.setup, &p.state), MOTION_PERIOD_US);
}

/* Each timer of the bridge alone wakes. */
static void every_timer_wakes(void **state) {
    (void)state;
    static const size_t timers[] = {
        offsetof(struct bridge_state, phase_limit.left_us),
        offsetof(struct bridge_state, warning_left_us),
        offsetof(struct bridge_state, motion.settle_us),
        offsetof(struct bridge_state, horn.left_us),
        offsetof(struct bridge_state, contacts.seated.left_us),
        offsetof(struct bridge_state, contacts.locked.left_us),
        offsetof(struct bridge_state, contacts.withdrawn.left_us),
        offsetof(struct bridge_state, contacts.open.left_us),
        offsetof(struct bridge_state, contacts.nearly_open.left_us),
        offsetof(struct bridge_state, contacts.nearly_seated.left_us),
        offsetof(struct bridge_state, contacts.within_travel.left_us),
        offsetof(struct bridge_state, contacts.rail[1].left_us),
        offsetof(struct bridge_state, track[0].end[1].approach_lock_us),
        offsetof(struct bridge_state, lock.driven.left_us),
        offsetof(struct bridge_state, lock.withdrawn.left_us),
        offsetof(struct bridge_state, seen_clear_left_us),
    };
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof timers / sizeof timers[0]; i++) {
        struct puppet p;
        puppet_line(&p, &setup);
        *(uint32_t *)((char *)&p.state + timers[i]) = 1234;
        assert_int_equal(bridge_wake_us(&p.setup, &p.state), 1234);
    }
}

static void settle(struct walk *w) {
    enum bridge_phase before;
    do {
        before = w->state.phase;
        assert_null(walk_rest(w, 0));
    } while (w->state.phase != before);
}

/* Whatever time passes that bridge_wake_us() allows, nothing changes by itself: a daemon may sleep
 * that long. */
static void nothing_changes_before_the_wake_time(void **state) {
    (void)state;
    struct walk mixer = {.random = 77};
    unsigned slept = 0;
    unsigned slept_for_ever = 0;
    for (uint32_t i = 0; i < 20; i++) {
        struct bridge_setup setup = i == 0 ? puppet_setup() : walk_random_setup(&mixer);
        struct walk w;
        walk_start(&w, WALK_LIKELY, &setup, 700 + i);
        for (unsigned steps = 0; steps < 1500; steps++) {
            assert_null(walk_step(&w));
            settle(&w);
            uint32_t wake_us = bridge_wake_us(&w.setup, &w.state);
            if (wake_us < 2 || w.outputs.lift_effort != 0) {
                continue;
            }
            struct walk asleep = w;
            assert_null(walk_rest(&asleep, wake_us == UINT32_MAX ? wake_us : wake_us - 1));
            assert_memory_equal(&asleep.outputs, &w.outputs, sizeof w.outputs);
            assert_int_equal(asleep.state.phase, w.state.phase);
            slept++;
            slept_for_ever += wake_us == UINT32_MAX ? 1 : 0;
        }
    }
    assert_true(slept > 1000);
    assert_true(slept_for_ever > 100);
}

/* ---- what the interlock holds */

static void interlock_tells_what_it_holds(void **state) {
    (void)state;
    /* Per phase: signals, span. */
    static const struct {
        bool signal, span;
    } want[BRIDGE_PHASES] = {
        [PHASE_UNPROVED] = {true, true},  [PHASE_LINED] = {false, false},
        [PHASE_CLEARING] = {true, true},  [PHASE_CUTTING] = {true, true},
        [PHASE_WARNING] = {true, false},  [PHASE_UNLOCKING] = {true, false},
        [PHASE_RAISING] = {true, false},  [PHASE_OPEN] = {true, false},
        [PHASE_LOWERING] = {true, false}, [PHASE_SEATING] = {true, false},
        [PHASE_LOCKING] = {true, false},  [PHASE_PROVING] = {true, false},
        [PHASE_HELD] = {true, false},     [PHASE_FAULT] = {true, true},
    };
    struct bridge_setup setup = puppet_setup();
    for (unsigned phase = 0; phase < BRIDGE_PHASES; phase++) {
        struct puppet p;
        puppet_start_in(&p, &setup, (enum bridge_phase)phase);
        assert_int_equal(bridge_holds_signal(&p.state, 0, 1), want[phase].signal);
        assert_int_equal(bridge_holds_span(&p.state), want[phase].span);
    }
}

static void approach_locking_holds_the_signal_that_it_put_to_stop(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    p.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
    puppet_ask(&p, REQUEST_NONE, SECOND_US);
    puppet_ask_signal(&p, REQUEST_SIGNAL_STOP, 0);
    assert_true(bridge_holds_signal(&p.state, 0, 0));
    puppet_run_for(&p, 10 * SECOND_US); /* then nobody but who asked for stop holds it */
    assert_false(bridge_holds_signal(&p.state, 0, 0));
    puppet_ask_signal(&p, REQUEST_SIGNAL_PROCEED, 0);
    assert_true(p.outputs.track[0].end[0].signal_proceed);
    assert_false(bridge_holds_signal(&p.state, 0, 0));
}

/* Nobody knows how far a hand has moved a span; its contacts say where it is. */
static void hand_lifted_span_has_a_position_at_its_contacts_alone(void **state) {
    (void)state;
    static const struct {
        enum level seated, open;
        bool is_known;
    } cases[] = {
        {LEVEL_ON, LEVEL_OFF, true},
        {LEVEL_OFF, LEVEL_OFF, false},
        {LEVEL_OFF, LEVEL_ON, true},
        {LEVEL_OFF, LEVEL_UNKNOWN, false},
    };
    struct bridge_setup setup = puppet_hand_setup();
    struct bridge_setup powered = puppet_setup();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bridge_state bridge = {
            .contacts = {.seated.believed = cases[i].seated, .open.believed = cases[i].open}};
        bridge.motion.is_known = true;
        assert_int_equal(bridge_is_position_known(&setup, &bridge), cases[i].is_known);
        assert_true(bridge_is_position_known(&powered, &bridge));
        bridge.motion.is_known = false;
        assert_false(bridge_is_position_known(&setup, &bridge));
        assert_false(bridge_is_position_known(&powered, &bridge));
    }
}

static void open_is_proved_by_its_contact_else_by_the_position(void **state) {
    (void)state;
    static const enum level levels[] = {LEVEL_UNKNOWN, LEVEL_OFF, LEVEL_ON};
    struct bridge_setup setup = puppet_setup();
    struct bridge_state bridge = {.motion = {.is_known = true, .position_frac = 1}};
    for (unsigned i = 0; i < 3; i++) { /* whatever the position says */
        bridge.contacts.open.believed = levels[i];
        assert_int_equal(bridge_open_level(&setup, &bridge), levels[i]);
    }
    setup.has_open = false;
    setup.motion.position_tolerance_frac = 0.05;
    bridge.motion.position_frac = 0.96;
    assert_int_equal(bridge_open_level(&setup, &bridge), LEVEL_ON);
    bridge.motion.position_frac = 0.94;
    assert_int_equal(bridge_open_level(&setup, &bridge), LEVEL_OFF);
    bridge.motion.is_known = false;
    assert_int_equal(bridge_open_level(&setup, &bridge), LEVEL_UNKNOWN);
}

static void speed_is_the_measured_one_else_the_commanded_and_none_at_rest(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    const struct bridge_state moving = {
        .motion = {.speed_frac_s = 0.03, .measured_frac_s = -0.02, .direction = -1}};
    const struct bridge_outputs down = {.lift_effort = -0.5}, rest = {.lift_effort = 0};
    assert_true(bridge_speed_frac_s(&setup, &moving, &down) == -0.02);
    assert_true(bridge_speed_frac_s(&setup, &moving, &rest) == 0);
    setup.motion.has_position = false;
    assert_true(bridge_speed_frac_s(&setup, &moving, &down) == -0.03);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(start_remembers_nothing_and_wants_automatic_signals),
        cmocka_unit_test(outputs_are_written_whole_and_safe_while_unproved),
        cmocka_unit_test(contacts_count_once_debounced),
        cmocka_unit_test(outputs_of_each_phase),
        cmocka_unit_test(river_flashes_from_the_warning_of_the_closing),
        cmocka_unit_test(lock_rests_once_it_is_where_it_should_be),
        cmocka_unit_test(locked_bar_is_not_driven_further),
        cmocka_unit_test(seat_is_pushed_on_with_limited_effort_for_a_while),
        cmocka_unit_test(span_that_moves_while_it_should_rest_is_a_fault),
        cmocka_unit_test(request_after_a_long_rest_gets_its_whole_time),
        cmocka_unit_test(longest_time_acts_in_the_step_that_ends_it),
        cmocka_unit_test(quiet_lined_bridge_sleeps),
        cmocka_unit_test(moving_bridge_is_looked_at_every_period),
        cmocka_unit_test(every_timer_wakes),
        cmocka_unit_test(nothing_changes_before_the_wake_time),
        cmocka_unit_test(interlock_tells_what_it_holds),
        cmocka_unit_test(approach_locking_holds_the_signal_that_it_put_to_stop),
        cmocka_unit_test(hand_lifted_span_has_a_position_at_its_contacts_alone),
        cmocka_unit_test(open_is_proved_by_its_contact_else_by_the_position),
        cmocka_unit_test(speed_is_the_measured_one_else_the_commanded_and_none_at_rest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
