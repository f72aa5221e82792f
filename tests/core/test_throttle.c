/* A throttle in a hand: the whole order of an opening, run no faster than the hand asks and only
 * for as long as it holds on. */
#include "core/bridge.h"
#include "core/motion.h"
#include "support/check.h"
#include "support/core/core_near.h"
#include "support/core/puppet.h"

#include <math.h>

enum { STEP_US = 10000, ORDER_US = 300000000 };

/* What the hand does, in steps of 10 ms: asks once, then holds on. */
struct hand {
    double share;
    bool is_voltage;
};

static enum bridge_answer ask(struct puppet *p, const struct hand *hand,
                              enum bridge_request_kind kind, uint32_t dt_us) {
    return puppet_ask_throttle(p, kind, hand->share, hand->is_voltage, dt_us);
}

/* Holds on until the phase is there. */
static bool hold_to(struct puppet *p, const struct hand *hand, enum bridge_phase phase,
                    uint64_t limit_us) {
    for (uint64_t run_us = 0; p->state.phase != phase; run_us += STEP_US) {
        if (run_us >= limit_us || p->state.phase == PHASE_FAULT) {
            return false;
        }
        ask(p, hand, REQUEST_THROTTLE_HOLD, STEP_US);
    }
    return true;
}

static struct puppet lined(void) {
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    return p;
}

/* Raised by hand, a little way. */
static struct puppet rising(const struct hand *hand) {
    struct puppet p = lined();
    ask(&p, hand, REQUEST_THROTTLE_UP, STEP_US);
    assert_true(hold_to(&p, hand, PHASE_RAISING, ORDER_US));
    for (int i = 0; i < 1000; i++) {
        ask(&p, hand, REQUEST_THROTTLE_HOLD, STEP_US);
    }
    assert_int_equal(p.state.phase, PHASE_RAISING);
    return p;
}

static const struct hand half = {0.5, false};

static void opening_and_closing_by_hand_go_through_the_whole_order(void **state) {
    (void)state;
    static const struct hand hands[] = {
        {1, false}, {0.5, false}, {0.05, false}, {1, true}, {0.6, true}};
    for (size_t i = 0; i < sizeof hands / sizeof hands[0]; i++) {
        struct puppet p = lined();
        p.horn_us = 0;
        assert_int_equal(ask(&p, &hands[i], REQUEST_THROTTLE_UP, STEP_US), ANSWER_GRANTED);
        assert_true(p.outputs.lift_effort == 0);
        assert_true(hold_to(&p, &hands[i], PHASE_WARNING, ORDER_US));
        assert_true(hold_to(&p, &hands[i], PHASE_RAISING, ORDER_US));
        assert_true(p.horn_us >= p.setup.prolonged_blast_us + p.setup.short_blast_us);
        assert_true(hold_to(&p, &hands[i], PHASE_OPEN, 20 * (uint64_t)ORDER_US));
        assert_true(p.state.throttle.share == 0);
        p.horn_us = 0;
        assert_int_equal(ask(&p, &hands[i], REQUEST_THROTTLE_DOWN, STEP_US), ANSWER_GRANTED);
        assert_true(hold_to(&p, &hands[i], PHASE_LOWERING, ORDER_US));
        assert_true(p.horn_us >= 5 * p.setup.short_blast_us);
        assert_true(hold_to(&p, &hands[i], PHASE_LOCKING, 20 * (uint64_t)ORDER_US));
        assert_true(puppet_run_to(&p, PHASE_LINED, ORDER_US)); /* with nobody's hand */
    }
}

static void span_rests_once_the_throttle_is_let_go(void **state) {
    (void)state;
    struct puppet p = rising(&half);
    assert_true(bridge_wake_us(&p.setup, &p.state) <= THROTTLE_US);
    for (uint32_t gone_us = STEP_US; gone_us < THROTTLE_US; gone_us += STEP_US) {
        puppet_step(&p, REQUEST_NONE, STEP_US);
        assert_true(p.outputs.lift_effort > 0);
    }
    puppet_step(&p, REQUEST_NONE, STEP_US);
    assert_true(p.outputs.lift_effort == 0);
    assert_int_equal(p.state.phase, PHASE_HELD);
    assert_int_equal(p.state.goal, GOAL_NONE);
}

/* Wherever in the order it is; a warning or a driven bar must not go on for nobody. */
static void each_phase_of_the_order_ends_with_the_hand(void **state) {
    (void)state;
    static const enum bridge_phase up[] = {PHASE_CLEARING, PHASE_WARNING, PHASE_UNLOCKING,
                                           PHASE_RAISING};
    static const enum bridge_phase down[] = {PHASE_WARNING, PHASE_LOWERING, PHASE_SEATING};
    for (size_t i = 0; i < 7; i++) {
        bool is_up = i < 4;
        enum bridge_phase phase = is_up ? up[i] : down[i - 4];
        struct bridge_setup setup = puppet_setup();
        struct puppet p;
        puppet_start_in(&p, &setup, is_up ? PHASE_LINED : PHASE_OPEN);
        p.inputs.track[0].span_clear = phase == PHASE_CLEARING ? LEVEL_OFF : LEVEL_ON;
        ask(&p, &half, is_up ? REQUEST_THROTTLE_UP : REQUEST_THROTTLE_DOWN, STEP_US);
        assert_true(hold_to(&p, &half, phase, ORDER_US));
        puppet_step(&p, REQUEST_NONE, THROTTLE_US);
        assert_int_equal(p.state.phase, PHASE_HELD);
        assert_true(p.outputs.lift_effort == 0 && p.outputs.lock == LOCK_DRIVE_REST);
        assert_false(p.outputs.horn);
    }
}

static void refresh_that_comes_with_the_lapse_or_later_begins_nothing(void **state) {
    (void)state;
    struct puppet p = rising(&half);
    assert_int_equal(ask(&p, &half, REQUEST_THROTTLE_HOLD, THROTTLE_US), ANSWER_LET_GO);
    assert_int_equal(p.state.phase, PHASE_HELD);
    assert_true(p.outputs.lift_effort == 0);
    puppet_run_for(&p, 2000000);
    assert_int_equal(ask(&p, &half, REQUEST_THROTTLE_HOLD, STEP_US), ANSWER_LET_GO);
    assert_int_equal(p.state.phase, PHASE_HELD);
}

static void hand_that_holds_on_does_not_overrule_a_stop(void **state) {
    (void)state;
    static const enum bridge_request_kind stops[] = {REQUEST_STOP, REQUEST_EMERGENCY_STOP};
    for (int i = 0; i < 2; i++) {
        struct puppet p = rising(&half);
        assert_int_equal(puppet_step(&p, stops[i], STEP_US), ANSWER_GRANTED);
        assert_true(p.outputs.lift_effort == 0);
        for (int k = 0; k < 300; k++) {
            assert_int_equal(ask(&p, &half, REQUEST_THROTTLE_HOLD, STEP_US), ANSWER_LET_GO);
            assert_true(p.outputs.lift_effort == 0);
        }
        assert_int_equal(p.state.phase, i == 0 ? PHASE_HELD : PHASE_FAULT);
    }
}

static void throttle_out_of_its_range_is_let_go(void **state) {
    (void)state;
    static const double shares[] = {0.001, 0.049, -0.5, 1.001, INFINITY, NAN};
    for (size_t i = 0; i < sizeof shares / sizeof shares[0]; i++) {
        const struct hand wrong = {shares[i], i % 2 == 0};
        for (int kind = 0; kind < 2; kind++) {
            struct puppet p = rising(&half);
            assert_int_equal(
                ask(&p, &wrong, kind == 0 ? REQUEST_THROTTLE_HOLD : REQUEST_THROTTLE_UP, STEP_US),
                ANSWER_NO_SUCH);
            assert_int_equal(p.state.phase, PHASE_HELD);
            assert_true(p.outputs.lift_effort == 0);
        }
        struct puppet p = lined();
        assert_int_equal(ask(&p, &wrong, REQUEST_THROTTLE_UP, STEP_US), ANSWER_NO_SUCH);
        assert_int_equal(p.state.phase, PHASE_LINED);
    }
}

/* At once, and never what it does not run. */
static void hand_that_lets_go_rests_its_own_run_alone(void **state) {
    (void)state;
    static const struct hand none = {0, false};
    struct puppet p = rising(&half);
    assert_int_equal(ask(&p, &none, REQUEST_THROTTLE_HOLD, STEP_US), ANSWER_GRANTED);
    assert_int_equal(p.state.phase, PHASE_HELD);
    assert_true(p.outputs.lift_effort == 0 && p.state.throttle.share == 0);
    assert_int_equal(ask(&p, &none, REQUEST_THROTTLE_HOLD, STEP_US), ANSWER_ALREADY);
    assert_int_equal(ask(&p, &half, REQUEST_THROTTLE_HOLD, STEP_US), ANSWER_LET_GO);

    struct bridge_setup setup = puppet_setup();
    puppet_start_in(&p, &setup, PHASE_RAISING);
    assert_int_equal(ask(&p, &none, REQUEST_THROTTLE_HOLD, STEP_US), ANSWER_ALREADY);
    assert_int_equal(p.state.phase, PHASE_RAISING);
    assert_true(p.outputs.lift_effort > 0);
    assert_int_equal(ask(&p, &none, REQUEST_THROTTLE_UP, STEP_US), ANSWER_NO_SUCH);
    assert_int_equal(p.state.phase, PHASE_RAISING);
}

/* Every new direction warns first. */
static void turning_the_throttle_round_begins_at_the_warning_again(void **state) {
    (void)state;
    struct puppet p = rising(&half);
    p.horn_us = 0;
    assert_int_equal(ask(&p, &half, REQUEST_THROTTLE_DOWN, STEP_US), ANSWER_GRANTED);
    assert_true(p.outputs.lift_effort == 0);
    assert_true(p.state.throttle.share > 0);
    assert_true(hold_to(&p, &half, PHASE_LOWERING, ORDER_US));
    assert_true(p.horn_us >= 5 * p.setup.short_blast_us);
}

static void request_of_another_takes_the_span_out_of_the_hand(void **state) {
    (void)state;
    struct puppet p = rising(&half);
    assert_int_equal(puppet_ask(&p, REQUEST_LOWER, STEP_US), ANSWER_GRANTED);
    assert_int_equal(ask(&p, &half, REQUEST_THROTTLE_HOLD, STEP_US), ANSWER_LET_GO);
    assert_true(puppet_run_to(&p, PHASE_LINED, ORDER_US));
}

static void movement_under_way_is_taken_into_the_hand(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_RAISING);
    puppet_run_for(&p, 2000000);
    assert_int_equal(ask(&p, &half, REQUEST_THROTTLE_UP, STEP_US), ANSWER_ALREADY);
    assert_int_equal(p.state.phase, PHASE_RAISING);
    puppet_step(&p, REQUEST_NONE, THROTTLE_US);
    assert_int_equal(p.state.phase, PHASE_HELD);
}

static double effort_of(const struct motion_setup *motion, double speed_frac_s) {
    return motion->effort_start +
           (motion->effort_full - motion->effort_start) * speed_frac_s / motion->full_speed_frac_s;
}

/* The hand sets less than the profile, and never more. */
static void speed_is_what_the_hand_asks_within_the_profile(void **state) {
    (void)state;
    static const double shares[] = {1, 0.7, 0.2, 0.05};
    for (size_t i = 0; i < sizeof shares / sizeof shares[0]; i++) {
        struct hand hand = {shares[i], false};
        struct puppet p = lined();
        const struct motion_setup *motion = &p.setup.motion;
        double most = shares[i] * motion->full_speed_frac_s, seen = 0;
        ask(&p, &hand, REQUEST_THROTTLE_UP, STEP_US);
        assert_false(bridge_is_slowed(&p.setup, &p.state)); /* it rests: the warning comes first */
        while (p.state.phase != PHASE_OPEN && p.state.phase != PHASE_FAULT) {
            ask(&p, &hand, REQUEST_THROTTLE_HOLD, STEP_US);
            double effort = p.outputs.lift_effort;
            bool is_slow = p.span_frac >= 1 - motion->slow_zone_open_frac;
            double limit = is_slow ? fmin(most, motion->creep_speed_frac_s) : most;
            bool is_less = most > motion->creep_speed_frac_s;
            if (effort > 0 && (is_slow || p.span_frac < 0.3)) {
                assert_int_equal(bridge_is_slowed(&p.setup, &p.state), is_slow && is_less);
            }
            assert_true(effort <= effort_of(motion, limit) + 1e-9);
            seen = fmax(seen, effort);
        }
        assert_int_equal(p.state.phase, PHASE_OPEN);
        assert_false(bridge_is_slowed(&p.setup, &p.state));
        assert_near(seen, effort_of(motion, most), 1e-9);
    }
}

/* As at a transformer: a share of the voltage, whatever comes of it. */
static void voltage_is_what_the_hand_asks_within_the_profile(void **state) {
    (void)state;
    struct hand hand = {0.6, true};
    struct puppet p = rising(&hand);
    const struct motion_setup *motion = &p.setup.motion;
    assert_near(p.outputs.lift_effort, 0.6 * motion->effort_full, 1e-9);
    assert_near(p.state.motion.speed_frac_s,
                motion->full_speed_frac_s * (0.6 * motion->effort_full - motion->effort_start) /
                    (motion->effort_full - motion->effort_start),
                1e-9);
    while (p.span_frac < 1 - motion->slow_zone_open_frac) {
        ask(&p, &hand, REQUEST_THROTTLE_HOLD, STEP_US);
    }
    ask(&p, &hand, REQUEST_THROTTLE_HOLD, STEP_US);
    assert_true(p.outputs.lift_effort <= effort_of(motion, motion->creep_speed_frac_s) + 1e-9);
}

/* Too little voltage to move anything: a fault in the end, and not before its time. */
static void voltage_too_low_to_move_the_span_is_a_fault_in_the_end(void **state) {
    (void)state;
    struct hand hand = {0.05, true};
    struct puppet p = lined();
    p.setup.motion.effort_start = 0.2;
    uint64_t run_us = 0;
    ask(&p, &hand, REQUEST_THROTTLE_UP, STEP_US);
    assert_true(hold_to(&p, &hand, PHASE_RAISING, ORDER_US));
    double seat_frac = p.span_frac;
    for (; p.state.phase == PHASE_RAISING && run_us < ORDER_US; run_us += STEP_US) {
        p.span_frac = seat_frac;
        ask(&p, &hand, REQUEST_THROTTLE_HOLD, STEP_US);
    }
    assert_int_equal(p.state.fault, FAULT_NO_MOVEMENT);
    assert_true(run_us >= 19 * (uint64_t)p.setup.motion.no_movement_us);
    assert_true(run_us <= 21 * (uint64_t)p.setup.motion.no_movement_us);
}

/* Half as fast may take twice as long. */
static void longest_time_grows_as_the_hand_asks_for_less(void **state) {
    (void)state;
    static const struct hand hands[] = {{1, false}, {0.5, false}, {0.05, false}, {0.01, true}};
    static const double share[] = {1, 0.5, 0.05, 0.05};
    for (size_t i = 0; i < sizeof hands / sizeof hands[0]; i++) {
        const struct throttle_state throttle = {hands[i].share, hands[i].is_voltage, 1};
        struct bridge_setup setup = puppet_setup();
        uint32_t counted_us = motion_counted_us(&setup.motion, &throttle, 1000000);
        assert_near(counted_us, 1e6 * share[i], 1);
        assert_true(motion_counted_us(&setup.motion, &throttle, 1) == 1); /* rounds up */
        assert_true(motion_counted_us(&setup.motion, &throttle, 0) == 0);
    }
}

/* One effort for every speed: nothing is divided by nothing. */
static void voltage_is_bounded_where_start_and_full_effort_are_one(void **state) {
    (void)state;
    struct hand hand = {1, true};
    struct puppet p = lined();
    p.setup.motion.effort_start = p.setup.motion.effort_full;
    ask(&p, &hand, REQUEST_THROTTLE_UP, STEP_US);
    assert_true(hold_to(&p, &hand, PHASE_RAISING, ORDER_US));
    assert_near(p.outputs.lift_effort, p.setup.motion.effort_full, 1e-9);
}

static void lost_device_and_obstacle_are_faults_as_ever(void **state) {
    (void)state;
    struct puppet p = rising(&half);
    p.inputs.is_device_lost = true;
    ask(&p, &half, REQUEST_THROTTLE_HOLD, STEP_US);
    assert_int_equal(p.state.fault, FAULT_DEVICE_LOST);
    assert_true(p.outputs.lift_effort == 0 && p.state.throttle.share == 0);

    p = rising(&half);
    p.is_frozen = true;
    for (int i = 0; i < 3000 && p.state.phase == PHASE_RAISING; i++) {
        ask(&p, &half, REQUEST_THROTTLE_HOLD, STEP_US);
    }
    assert_int_equal(p.state.fault, FAULT_NO_MOVEMENT);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(opening_and_closing_by_hand_go_through_the_whole_order),
        cmocka_unit_test(span_rests_once_the_throttle_is_let_go),
        cmocka_unit_test(each_phase_of_the_order_ends_with_the_hand),
        cmocka_unit_test(refresh_that_comes_with_the_lapse_or_later_begins_nothing),
        cmocka_unit_test(hand_that_holds_on_does_not_overrule_a_stop),
        cmocka_unit_test(throttle_out_of_its_range_is_let_go),
        cmocka_unit_test(hand_that_lets_go_rests_its_own_run_alone),
        cmocka_unit_test(turning_the_throttle_round_begins_at_the_warning_again),
        cmocka_unit_test(request_of_another_takes_the_span_out_of_the_hand),
        cmocka_unit_test(movement_under_way_is_taken_into_the_hand),
        cmocka_unit_test(speed_is_what_the_hand_asks_within_the_profile),
        cmocka_unit_test(voltage_is_what_the_hand_asks_within_the_profile),
        cmocka_unit_test(voltage_too_low_to_move_the_span_is_a_fault_in_the_end),
        cmocka_unit_test(longest_time_grows_as_the_hand_asks_for_less),
        cmocka_unit_test(voltage_is_bounded_where_start_and_full_effort_are_one),
        cmocka_unit_test(lost_device_and_obstacle_are_faults_as_ever),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
