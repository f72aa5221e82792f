/* The invariants by number, each condition of each. S7 (outputs that fall safe by themselves) is
 * the ports' part; S10 stands in test_walk.c. The puppet judges S1 to S5 and S9 in every step. */
#include "core/bridge.h"
#include "core/words/names.h"
#include "support/check.h"
#include "support/core/core_parts.h"
#include "support/core/puppet.h"

#include <math.h>
#include <string.h>

enum { SECOND_US = 1000000 };

static const struct bridge_outputs safe = {0};

/* Signals, power, lift and lock as all zero; horn and river lights hurt nobody. */
static void assert_safe(const struct puppet *p) {
    struct bridge_outputs out = p->outputs;
    out.horn = false;
    out.river = RIVER_RED;
    assert_memory_equal(&out, &safe, sizeof safe);
}

static bool shows_any_proceed(const struct puppet *p) {
    return p->outputs.track[0].end[0].signal_proceed || p->outputs.track[0].end[1].signal_proceed;
}

static bool has_any_power(const struct puppet *p) {
    return p->outputs.track[0].end[0].stop_power || p->outputs.track[0].end[1].stop_power ||
           p->outputs.track[0].span_power;
}

/* The puppet in a phase, its inputs from now on set by the test alone. */
static struct puppet frozen_in(enum bridge_phase phase) {
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, phase);
    p.is_frozen = true;
    return p;
}

/* ---- S1 */

#define INPUT(member) offsetof(struct bridge_inputs, member)

/* What a proceed rests on, each as it is when it is gone. */
static const struct {
    size_t input;
    enum level gone;
} under_proceed[] = {
    {INPUT(seated), LEVEL_OFF},
    {INPUT(locked), LEVEL_OFF},
    {INPUT(rail[0]), LEVEL_OFF},
    {INPUT(rail[1]), LEVEL_OFF},
    {INPUT(track[0].end[0].stop_clear), LEVEL_OFF},
    {INPUT(track[0].end[1].stop_clear), LEVEL_OFF},
    {INPUT(track[0].span_clear), LEVEL_OFF},
    {INPUT(track[0].end[0].stop_dead), LEVEL_ON},
    {INPUT(track[0].end[1].stop_dead), LEVEL_ON},
    {INPUT(track[0].span_dead), LEVEL_ON},
    {INPUT(stop_circuit), LEVEL_OFF},
};
static const size_t under_proceed_count = sizeof under_proceed / sizeof under_proceed[0];

static void s1_each_condition_alone_gone_means_stop_in_the_same_step(void **state) {
    (void)state;
    struct puppet lined = frozen_in(PHASE_LINED);
    assert_true(lined.outputs.track[0].end[0].signal_proceed);
    assert_true(lined.outputs.track[0].end[1].signal_proceed);
    for (size_t i = 0; i < under_proceed_count; i++) {
        struct puppet p = lined;
        *core_level_at(&p.inputs, under_proceed[i].input) = under_proceed[i].gone;
        puppet_step(&p, REQUEST_NONE, SECOND_US);
        assert_false(shows_any_proceed(&p));
    }
}

/* No combination of two restrictive readings gives proceed (after 49 CFR 236.205). */
static void s1_no_two_conditions_gone_give_proceed(void **state) {
    (void)state;
    struct puppet lined = frozen_in(PHASE_LINED);
    for (size_t i = 0; i < under_proceed_count; i++) {
        for (size_t k = 0; k < i; k++) {
            struct puppet p = lined;
            *core_level_at(&p.inputs, under_proceed[i].input) = under_proceed[i].gone;
            *core_level_at(&p.inputs, under_proceed[k].input) = under_proceed[k].gone;
            for (unsigned steps = 0; steps < 5; steps++) {
                puppet_step(&p, steps == 2 ? REQUEST_ACKNOWLEDGE : REQUEST_NONE, 3 * SECOND_US);
                assert_false(shows_any_proceed(&p));
            }
        }
    }
}

static void s1_proceed_shows_in_lined_alone(void **state) {
    (void)state;
    for (unsigned phase = 0; phase < BRIDGE_PHASES; phase++) {
        struct puppet p = frozen_in((enum bridge_phase)phase);
        assert_int_equal(shows_any_proceed(&p), phase == PHASE_LINED);
    }
}

static void s1_signal_waits_for_power_and_for_sections_believed_clear(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start(&p, &setup);
    assert_true(puppet_run_to(&p, PHASE_LINED, SECOND_US));
    assert_true(has_any_power(&p));
    assert_false(shows_any_proceed(&p));
    puppet_run_for(&p, setup.clear_us - SECOND_US);
    assert_false(shows_any_proceed(&p));
    puppet_run_for(&p, 2 * SECOND_US);
    assert_true(shows_any_proceed(&p));
}

/* ---- S2 */

static void s2_power_falls_with_seat_lock_or_rails_and_waits_for_the_whole_proof(void **state) {
    (void)state;
    static const size_t inputs[] = {INPUT(seated), INPUT(locked), INPUT(rail[1])};
    for (size_t i = 0; i < 3; i++) {
        struct puppet p = frozen_in(PHASE_LINED);
        assert_true(has_any_power(&p));
        *core_level_at(&p.inputs, inputs[i]) = LEVEL_OFF;
        puppet_step(&p, REQUEST_NONE, 0);
        assert_false(has_any_power(&p));
        *core_level_at(&p.inputs, inputs[i]) = LEVEL_ON; /* back, but nothing is proved by that */
        puppet_step(&p, REQUEST_NONE, SECOND_US);
        assert_false(has_any_power(&p));
    }
}

static void s2_power_lost_in_clearing_does_not_come_back_with_the_contact(void **state) {
    (void)state;
    static const size_t inputs[] = {INPUT(locked), INPUT(rail[1])};
    for (size_t i = 0; i < 2; i++) {
        struct puppet p = frozen_in(PHASE_CLEARING);
        p.inputs.track[0].end[0].stop_clear = LEVEL_OFF; /* a train keeps it in clearing */
        puppet_step(&p, REQUEST_NONE, 0);
        p.inputs.track[0].end[0].stop_clear = LEVEL_ON;
        puppet_step(&p, REQUEST_NONE, 0);
        assert_true(has_any_power(&p));
        *core_level_at(&p.inputs, inputs[i]) = LEVEL_OFF;
        puppet_step(&p, REQUEST_NONE, 0);
        assert_false(has_any_power(&p));
        *core_level_at(&p.inputs, inputs[i]) = LEVEL_ON;
        puppet_step(&p, REQUEST_NONE, 0);
        assert_int_equal(p.state.phase, PHASE_CLEARING);
        assert_false(has_any_power(&p));
    }
}

static void s2_no_request_brings_power_off_the_seat(void **state) {
    (void)state;
    for (unsigned phase = PHASE_CUTTING; phase < PHASE_PROVING; phase++) {
        struct puppet p = frozen_in((enum bridge_phase)phase);
        puppet_step(&p, REQUEST_POWER_ON, 0);
        assert_false(has_any_power(&p));
    }
}

/* ---- S3, S4 */

static const struct {
    size_t input;
    enum level gone;
} away[] = {
    {INPUT(track[0].end[0].signal_at_stop), LEVEL_OFF},
    {INPUT(track[0].end[1].signal_at_stop), LEVEL_OFF},
    {INPUT(track[0].end[0].stop_dead), LEVEL_OFF},
    {INPUT(track[0].end[1].stop_dead), LEVEL_OFF},
    {INPUT(track[0].span_dead), LEVEL_OFF},
    {INPUT(track[0].end[0].stop_clear), LEVEL_OFF},
    {INPUT(track[0].end[1].stop_clear), LEVEL_OFF},
    {INPUT(track[0].span_clear), LEVEL_OFF},
    {INPUT(withdrawn), LEVEL_OFF}, /* S3 alone */
};
static const size_t away_count = sizeof away / sizeof away[0];

static const enum bridge_phase driven[] = {PHASE_RAISING, PHASE_LOWERING, PHASE_SEATING};

static void s3_each_condition_alone_gone_stops_the_lift_in_the_same_step(void **state) {
    (void)state;
    for (size_t d = 0; d < 3; d++) {
        struct puppet moving = frozen_in(driven[d]);
        assert_true(bridge_is_moving(&moving.outputs));
        for (size_t i = 0; i < away_count; i++) {
            struct puppet p = moving;
            *core_level_at(&p.inputs, away[i].input) = away[i].gone;
            puppet_step(&p, REQUEST_NONE, 10000);
            assert_safe(&p);
            assert_int_equal(p.state.phase, PHASE_FAULT);
        }
        struct puppet p = moving;
        p.state.track[0].end[1].approach_lock_us = SECOND_US;
        puppet_step(&p, REQUEST_NONE, 10000);
        assert_safe(&p);
    }
}

static void s4_each_condition_alone_gone_stops_the_withdrawal(void **state) {
    (void)state;
    struct puppet unlocking = frozen_in(PHASE_UNLOCKING);
    assert_int_equal(unlocking.outputs.lock, LOCK_DRIVE_WITHDRAWN);
    for (size_t i = 0; i < away_count - 1; i++) {
        struct puppet p = unlocking;
        *core_level_at(&p.inputs, away[i].input) = away[i].gone;
        puppet_step(&p, REQUEST_NONE, 10000);
        assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
    }
    struct puppet p = unlocking;
    p.state.track[0].end[0].approach_lock_us = SECOND_US;
    puppet_step(&p, REQUEST_NONE, 10000);
    assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
}

static void s3_opening_waits_in_clearing_for_each_condition(void **state) {
    (void)state;
    static const size_t waited_for[] = {
        INPUT(track[0].end[0].signal_at_stop),
        INPUT(track[0].end[1].signal_at_stop),
        INPUT(track[0].end[0].stop_clear),
        INPUT(track[0].end[1].stop_clear),
        INPUT(track[0].span_clear),
    };
    struct puppet clearing = frozen_in(PHASE_CLEARING);
    for (size_t i = 0; i < sizeof waited_for / sizeof waited_for[0]; i++) {
        struct puppet p = clearing;
        *core_level_at(&p.inputs, waited_for[i]) = LEVEL_OFF;
        for (unsigned steps = 0; steps < 15; steps++) {
            puppet_step(&p, REQUEST_NONE, 100000);
            assert_int_equal(p.state.phase, PHASE_CLEARING);
        }
    }
}

static void s4_lock_is_driven_on_the_seat_alone(void **state) {
    (void)state;
    struct puppet p = frozen_in(PHASE_LOCKING);
    assert_int_equal(p.outputs.lock, LOCK_DRIVE_DRIVEN);
    p.inputs.seated = LEVEL_OFF;
    puppet_step(&p, REQUEST_NONE, 10000);
    assert_safe(&p);
    assert_int_equal(p.state.fault, FAULT_PROOF_LOST);
}

/* Approach locking over the whole: 49 CFR 236.760, from memory. */
static void s3_train_on_the_approach_holds_the_opening_for_its_time(void **state) {
    (void)state;
    static const struct {
        bool is_train, is_standing;
        uint32_t min_us, max_us; /* in clearing */
    } cases[] = {
        {true, false, 7900000, 8100000},
        {true, true, 0, 20000},
        {false, false, 0, 20000},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bridge_setup setup = puppet_setup();
        struct puppet p;
        puppet_line(&p, &setup);
        p.inputs.track[0].end[0].approach_clear = cases[i].is_train ? LEVEL_OFF : LEVEL_ON;
        puppet_run_for(&p, SECOND_US);
        puppet_ask(&p, REQUEST_RAISE, 0);
        p.inputs.track[0].end[0].standing = cases[i].is_standing ? LEVEL_ON : LEVEL_OFF;
        uint32_t waited_us = 0;
        for (; p.state.phase == PHASE_CLEARING; waited_us += 10000) {
            puppet_ask(&p, REQUEST_NONE, 10000);
        }
        assert_in_range(waited_us, cases[i].min_us, cases[i].max_us);
        assert_int_equal(p.state.phase, PHASE_WARNING);
    }
}

/* ---- S5 */

/* Safe in the same step and latched; the acknowledgment is refused while it stands. */
static void assert_latched(struct puppet *p, enum bridge_fault fault) {
    assert_safe(p);
    assert_int_equal(p->state.phase, PHASE_FAULT);
    assert_string_equal(bridge_fault_name(p->state.fault), bridge_fault_name(fault));
    assert_int_equal(puppet_step(p, REQUEST_ACKNOWLEDGE, SECOND_US), ANSWER_CAUSE_STANDS);
    assert_safe(p);
}

static void assert_stays_until_acknowledged(struct puppet *p) {
    puppet_step(p, REQUEST_NONE, 10 * SECOND_US);
    assert_int_equal(p->state.phase, PHASE_FAULT);
    assert_safe(p);
    assert_int_equal(puppet_step(p, REQUEST_RAISE, 0), ANSWER_FAULT);
    assert_int_equal(puppet_step(p, REQUEST_LOWER, 0), ANSWER_FAULT);
    assert_int_equal(puppet_step(p, REQUEST_ACKNOWLEDGE, 0), ANSWER_GRANTED);
    assert_int_not_equal(p->state.phase, PHASE_FAULT);
}

static void s5_each_missing_input_is_safe_at_once_and_latched_in_each_phase(void **state) {
    (void)state;
    for (unsigned phase = PHASE_LINED; phase < PHASE_FAULT; phase++) {
        struct puppet there = frozen_in((enum bridge_phase)phase);
        for (size_t i = 0; i < core_inputs_count; i++) {
            struct puppet p = there;
            enum level before = *core_input_of(&p.inputs, i);
            *core_input_of(&p.inputs, i) = LEVEL_UNKNOWN;
            puppet_step(&p, REQUEST_NONE, 10000);
            assert_latched(&p, FAULT_INPUT_LOST);
            /* back as it was; signals and power have fallen meanwhile */
            *core_input_of(&p.inputs, i) = before;
            p.is_frozen = false;
            puppet_step(&p, REQUEST_NONE, 0);
            assert_stays_until_acknowledged(&p);
        }
    }
}

static void s5_missing_measures_and_lost_devices_are_safe_at_once(void **state) {
    (void)state;
    for (unsigned phase = PHASE_LINED; phase < PHASE_FAULT; phase++) {
        struct puppet there = frozen_in((enum bridge_phase)phase);
        struct puppet p = there;
        p.inputs.position_frac = NAN;
        puppet_step(&p, REQUEST_NONE, 10000);
        assert_latched(&p, FAULT_INPUT_LOST);
        p = there;
        p.inputs.current_a = NAN;
        puppet_step(&p, REQUEST_NONE, 10000);
        assert_latched(&p, FAULT_INPUT_LOST);
        p = there;
        p.inputs.is_device_lost = true;
        puppet_step(&p, REQUEST_NONE, 10000);
        assert_latched(&p, FAULT_DEVICE_LOST);
    }
}

/* A loose wire is not a proof. */
static void s5_contact_that_never_comes_to_rest_is_missing(void **state) {
    (void)state;
    enum { EVERY_US = 20000 };
    struct bridge_setup setup = puppet_setup();
    setup.debounce_us = 50000;
    struct puppet p;
    puppet_line(&p, &setup);
    p.is_frozen = true;
    uint64_t chattered_us = 0;
    while (p.state.phase == PHASE_LINED) {
        assert_true(chattered_us <= BRIDGE_UNSETTLED_MAX_US);
        p.inputs.seated = p.inputs.seated == LEVEL_ON ? LEVEL_OFF : LEVEL_ON;
        puppet_step(&p, REQUEST_NONE, EVERY_US);
        chattered_us += EVERY_US;
    }
    assert_true(chattered_us >= BRIDGE_UNSETTLED_MAX_US);
    assert_latched(&p, FAULT_INPUT_LOST);
}

static void s5_each_contradiction_is_safe_at_once_and_latched(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase phase;
        size_t input;
        enum level level;
    } cases[] = {
        {PHASE_LINED, INPUT(open), LEVEL_ON},
        {PHASE_LINED, INPUT(nearly_open), LEVEL_ON},
        {PHASE_LINED, INPUT(nearly_seated), LEVEL_OFF},
        {PHASE_LINED, INPUT(withdrawn), LEVEL_ON},
        {PHASE_LINED, INPUT(seated), LEVEL_OFF}, /* and locked */
        {PHASE_OPEN, INPUT(seated), LEVEL_ON},
        {PHASE_OPEN, INPUT(nearly_seated), LEVEL_ON},
        {PHASE_OPEN, INPUT(nearly_open), LEVEL_OFF},
        {PHASE_OPEN, INPUT(locked), LEVEL_ON},
        {PHASE_HELD, INPUT(seated), LEVEL_ON},
        {PHASE_HELD, INPUT(open), LEVEL_ON},
        {PHASE_HELD, INPUT(locked), LEVEL_ON},
        {PHASE_LOWERING, INPUT(seated), LEVEL_ON},
        {PHASE_RAISING, INPUT(open), LEVEL_ON},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet p = frozen_in(cases[i].phase);
        enum level before = *core_level_at(&p.inputs, cases[i].input);
        *core_level_at(&p.inputs, cases[i].input) = cases[i].level;
        puppet_step(&p, REQUEST_NONE, 10000);
        assert_latched(&p, FAULT_CONTRADICTION);
        *core_level_at(&p.inputs, cases[i].input) = before;
        p.is_frozen = false;
        puppet_step(&p, REQUEST_NONE, 0);
        assert_stays_until_acknowledged(&p);
    }
}

static void s5_position_far_from_its_contact_is_a_contradiction(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase phase;
        double position_frac;
    } cases[] = {{PHASE_LINED, 0.04}, {PHASE_LINED, -0.04}, {PHASE_OPEN, 0.96}, {PHASE_OPEN, 1.04}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet p = frozen_in(cases[i].phase);
        p.inputs.position_frac = cases[i].position_frac;
        puppet_step(&p, REQUEST_NONE, 10000);
        assert_latched(&p, FAULT_CONTRADICTION);
    }
}

/* ---- S6 */

static const struct {
    double span_frac, lock_frac;
    enum bridge_phase want;
} places[] = {
    {0, 1, PHASE_LINED},  {0, 0, PHASE_HELD},    {0, 0.5, PHASE_HELD}, {0.03, 0, PHASE_HELD},
    {0.5, 0, PHASE_HELD}, {0.97, 0, PHASE_HELD}, {1, 0, PHASE_OPEN},
};
static const size_t places_count = sizeof places / sizeof places[0];

/* Places with and without a measured position. */
static void start_at(struct puppet *p, size_t place, bool has_position) {
    struct bridge_setup setup = puppet_setup();
    setup.motion.has_position = has_position;
    puppet_start(p, &setup);
    p->span_frac = places[place].span_frac;
    p->lock_frac = places[place].lock_frac;
    for (unsigned i = 0; i < BRIDGE_RAILS_MAX; i++) {
        p->inputs.rail[i] = p->span_frac > 0.005 ? LEVEL_OFF : LEVEL_ON;
    }
}

static void s6_start_anywhere_stands_still_where_contacts_prove_it(void **state) {
    (void)state;
    for (size_t i = 0; i < 2 * places_count; i++) {
        struct puppet p;
        start_at(&p, i / 2, i % 2);
        for (unsigned steps = 0; steps < 3000; steps++) {
            puppet_ask(&p, REQUEST_NONE, 10000);
            assert_false(bridge_is_moving(&p.outputs));
            assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
        }
        assert_string_equal(bridge_phase_name(p.state.phase),
                            bridge_phase_name(places[i / 2].want));
    }
}

static void s6_span_can_be_lowered_from_wherever_it_was_found(void **state) {
    (void)state;
    for (size_t i = 0; i < 4 * places_count; i++) {
        struct puppet p;
        start_at(&p, i / 4, i % 2);
        puppet_run_for(&p, i % 4 < 2 ? 20000 : 30 * SECOND_US);
        enum bridge_answer answer = puppet_ask(&p, REQUEST_LOWER, 0);
        assert_int_equal(answer,
                         places[i / 4].want == PHASE_LINED ? ANSWER_ALREADY : ANSWER_GRANTED);
        for (unsigned s = 0; p.state.phase != PHASE_LINED; s++) {
            assert_true(s < 30000);
            puppet_ask(&p, REQUEST_NONE, 10000);
            for (unsigned r = 0; r < BRIDGE_RAILS_MAX; r++) {
                p.inputs.rail[r] = p.span_frac > 0.005 ? LEVEL_OFF : LEVEL_ON;
            }
        }
    }
}

static void s6_nothing_is_proved_before_every_input_is_there(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < core_inputs_count; i++) {
        struct puppet p;
        puppet_start(&p, &setup);
        p.is_frozen = true;
        *core_input_of(&p.inputs, i) = LEVEL_UNKNOWN;
        for (unsigned steps = 0; steps < 5; steps++) {
            puppet_step(&p, REQUEST_NONE, 10000);
            assert_int_equal(p.state.phase, PHASE_UNPROVED);
            assert_safe(&p);
        }
        assert_int_equal(puppet_step(&p, REQUEST_RAISE, 0), ANSWER_UNPROVED);
    }
}

/* A sensor that is read later than the contacts has not said yet that the span lies at the seat. */
static void s6_position_that_was_never_read_contradicts_no_contact(void **state) {
    (void)state;
    static const double places_frac[] = {0, 1};
    for (size_t i = 0; i < 2; i++) {
        struct bridge_setup setup = puppet_setup();
        struct puppet p;
        puppet_start(&p, &setup);
        p.is_frozen = true;
        p.inputs.seated = p.inputs.nearly_seated = p.inputs.locked = i == 0 ? LEVEL_ON : LEVEL_OFF;
        p.inputs.open = p.inputs.nearly_open = p.inputs.withdrawn = i == 1 ? LEVEL_ON : LEVEL_OFF;
        p.inputs.position_frac = NAN;
        puppet_step(&p, REQUEST_NONE, 0);
        puppet_step(&p, REQUEST_NONE, 10000);
        assert_int_equal(p.state.phase, PHASE_UNPROVED);
        assert_safe(&p);
        struct puppet agreeing = p;
        agreeing.inputs.position_frac = places_frac[i];
        puppet_step(&agreeing, REQUEST_NONE, 10000);
        assert_int_equal(agreeing.state.phase, i == 0 ? PHASE_PROVING : PHASE_OPEN);
        p.inputs.position_frac = 0.5; /* the first reading counts */
        puppet_step(&p, REQUEST_NONE, 10000);
        assert_latched(&p, FAULT_CONTRADICTION);
    }
}

/* A train may be running on the proceed that showed before the daemon died. */
static void s6_opening_right_after_a_start_waits_for_approach_locking(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start(&p, &setup);
    assert_true(puppet_run_to(&p, PHASE_LINED, SECOND_US));
    puppet_ask(&p, REQUEST_RAISE, 0);
    while (p.state.phase == PHASE_CLEARING) {
        puppet_ask(&p, REQUEST_NONE, 10000);
    }
    assert_in_range(p.now_us, setup.track[0].end[0].approach_lock_us,
                    setup.track[0].end[0].approach_lock_us + 100000);
}

/* ---- S8 */

static const size_t guarded[] = {
    INPUT(track[0].end[0].stop_clear),
    INPUT(track[0].end[1].stop_clear),
    INPUT(track[0].span_clear),
};

static void s8_train_at_each_phase(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase phase, want;
    } cases[] = {
        {PHASE_LINED, PHASE_LINED},      {PHASE_CLEARING, PHASE_CLEARING},
        {PHASE_CUTTING, PHASE_CLEARING}, {PHASE_WARNING, PHASE_CLEARING},
        {PHASE_UNLOCKING, PHASE_FAULT},  {PHASE_RAISING, PHASE_FAULT},
        {PHASE_OPEN, PHASE_FAULT},       {PHASE_LOWERING, PHASE_FAULT},
        {PHASE_SEATING, PHASE_FAULT},    {PHASE_LOCKING, PHASE_FAULT},
        {PHASE_PROVING, PHASE_LINED},    {PHASE_HELD, PHASE_FAULT},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet there = frozen_in(cases[i].phase);
        for (size_t s = 0; s < sizeof guarded / sizeof guarded[0]; s++) {
            struct puppet p = there;
            *core_level_at(&p.inputs, guarded[s]) = LEVEL_OFF;
            puppet_step(&p, REQUEST_NONE, 10000);
            assert_string_equal(bridge_phase_name(p.state.phase), bridge_phase_name(cases[i].want));
            assert_false(bridge_is_moving(&p.outputs));
            assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
            assert_false(shows_any_proceed(&p));
            if (cases[i].want != PHASE_FAULT) {
                continue;
            }
            assert_safe(&p);
            assert_int_equal(p.state.fault, FAULT_OVERRUN);
            /* the cause is gone where the bar has not left the span yet */
            bool is_under_it = cases[i].phase == PHASE_UNLOCKING;
            assert_int_equal(puppet_step(&p, REQUEST_ACKNOWLEDGE, 0),
                             is_under_it ? ANSWER_GRANTED : ANSWER_CAUSE_STANDS);
        }
    }
}

static void s8_opening_goes_on_once_a_train_has_passed_over_the_locked_span(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_WARNING);
    p.inputs.track[0].end[0].stop_clear = LEVEL_OFF;
    puppet_ask(&p, REQUEST_NONE, 10000);
    assert_int_equal(p.state.phase, PHASE_CLEARING);
    assert_false(p.outputs.horn);
    p.inputs.track[0].end[0].stop_clear = LEVEL_ON;
    assert_true(puppet_run_to(&p, PHASE_OPEN, 100000000));
}

/* ---- S9 */

static void s9_stop_acts_in_its_step_in_each_phase_and_leaves_the_bridge_held(void **state) {
    (void)state;
    for (unsigned phase = 0; phase < BRIDGE_PHASES; phase++) {
        struct puppet p = frozen_in((enum bridge_phase)phase);
        enum bridge_answer answer = puppet_step(&p, REQUEST_STOP, 10000);
        assert_false(bridge_is_moving(&p.outputs));
        assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
        assert_int_equal(p.state.goal, GOAL_NONE);
        if (answer == ANSWER_GRANTED) {
            assert_int_equal(p.state.phase, PHASE_HELD);
        }
    }
}

static void s9_stop_can_be_resumed_either_way(void **state) {
    (void)state;
    static const enum bridge_phase stopped_in[] = {PHASE_UNLOCKING, PHASE_RAISING, PHASE_LOWERING,
                                                   PHASE_SEATING, PHASE_LOCKING};
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < 2 * sizeof stopped_in / sizeof stopped_in[0]; i++) {
        struct puppet p;
        puppet_start_in(&p, &setup, stopped_in[i / 2]);
        puppet_run_for(&p, 500000);
        puppet_ask(&p, REQUEST_STOP, 0);
        puppet_run_for(&p, 60 * SECOND_US);
        assert_int_equal(p.state.phase, PHASE_HELD);
        puppet_ask(&p, i % 2 ? REQUEST_RAISE : REQUEST_LOWER, 0);
        assert_true(puppet_run_to(&p, i % 2 ? PHASE_OPEN : PHASE_LINED, 200000000));
    }
}

/* Stops of all kinds: in force until released by hand; release permits, but starts nothing (ISO
 * 13850, from memory). */
static void s9_emergency_stop_and_stop_circuit_in_each_phase(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    for (unsigned i = 0; i < 2 * BRIDGE_PHASES; i++) {
        enum bridge_phase phase = (enum bridge_phase)(i / 2);
        bool is_wired = i % 2;
        struct puppet p;
        puppet_start_in(&p, &setup, phase);
        p.inputs.stop_circuit = is_wired ? LEVEL_OFF : LEVEL_ON;
        puppet_step(&p, is_wired ? REQUEST_NONE : REQUEST_EMERGENCY_STOP, 10000);
        assert_safe(&p);
        assert_int_equal(p.state.phase, PHASE_FAULT);
        if (phase != PHASE_FAULT) {
            assert_int_equal(p.state.fault, is_wired ? FAULT_STOP_CIRCUIT : FAULT_EMERGENCY_STOP);
        }
        if (is_wired) {
            assert_int_equal(puppet_step(&p, REQUEST_ACKNOWLEDGE, 0), ANSWER_CAUSE_STANDS);
            p.inputs.stop_circuit = LEVEL_ON;
        }
        puppet_run_for(&p, SECOND_US); /* released: nothing moves, nothing is forgotten */
        assert_int_equal(p.state.phase, PHASE_FAULT);
        assert_int_equal(puppet_ask(&p, REQUEST_ACKNOWLEDGE, 0), ANSWER_GRANTED);
        for (unsigned steps = 0; steps < 2000; steps++) {
            puppet_ask(&p, REQUEST_NONE, 10000);
            assert_false(bridge_is_moving(&p.outputs));
            assert_int_equal(p.outputs.lock, LOCK_DRIVE_REST);
        }
    }
}

/* People are told the first cause; but whoever pressed the stop meanwhile wants no train to start
 * when the device is back and the fault acknowledged. */
static void s9_stop_circuit_that_opens_beside_another_fault_still_keeps_the_trains(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    for (unsigned i = 0; i < 2; i++) {
        bool is_pressed = i == 1;
        struct puppet p;
        puppet_start_in(&p, &setup, PHASE_LINED);
        p.inputs.is_device_lost = true;
        puppet_step(&p, REQUEST_NONE, 10000);
        p.inputs.stop_circuit = is_pressed ? LEVEL_OFF : LEVEL_ON;
        puppet_step(&p, REQUEST_NONE, 10000);
        assert_latched(&p, FAULT_DEVICE_LOST);
        p.inputs.stop_circuit = LEVEL_ON;
        p.inputs.is_device_lost = false;
        assert_int_equal(puppet_ask(&p, REQUEST_ACKNOWLEDGE, 10000), ANSWER_GRANTED);
        puppet_run_for(&p, 30 * SECOND_US);
        assert_int_equal(p.state.phase, PHASE_LINED);
        assert_int_equal(p.outputs.track[0].span_power, !is_pressed);
        puppet_ask(&p, REQUEST_POWER_ON, 0);
        assert_true(p.outputs.track[0].span_power);
    }
}

/* ---- L1 */

static void l1_raise_reaches_open_and_lower_reaches_lined_from_each_phase(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    for (unsigned i = 0; i < 2 * BRIDGE_PHASES; i++) {
        struct puppet p;
        puppet_start_in(&p, &setup, (enum bridge_phase)(i / 2));
        if (p.state.phase == PHASE_FAULT) {
            assert_int_equal(puppet_ask(&p, REQUEST_ACKNOWLEDGE, 0), ANSWER_GRANTED);
        }
        if (p.state.phase == PHASE_UNPROVED) {
            puppet_ask(&p, REQUEST_NONE, 0);
        }
        enum bridge_answer answer = puppet_ask(&p, i % 2 ? REQUEST_RAISE : REQUEST_LOWER, 10000);
        assert_true(answer == ANSWER_GRANTED || answer == ANSWER_ALREADY);
        enum bridge_phase want = i % 2 ? PHASE_OPEN : PHASE_LINED;
        if (!puppet_run_to(&p, want, 300000000)) {
            fail_msg("%s does not lead to %s", bridge_phase_name((enum bridge_phase)(i / 2)),
                     bridge_phase_name(want));
        }
    }
}

static void l1_requests_may_change_their_mind_at_any_time(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    for (unsigned i = 0; i < 40; i++) {
        puppet_ask(&p, i % 2 ? REQUEST_LOWER : REQUEST_RAISE, 10000);
        puppet_run_for(&p, (uint64_t)(i * i + 1) * 50000);
        assert_int_not_equal(p.state.phase, PHASE_FAULT);
    }
    puppet_ask(&p, REQUEST_LOWER, 0);
    assert_true(puppet_run_to(&p, PHASE_LINED, 300000000));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(s1_each_condition_alone_gone_means_stop_in_the_same_step),
        cmocka_unit_test(s1_no_two_conditions_gone_give_proceed),
        cmocka_unit_test(s1_proceed_shows_in_lined_alone),
        cmocka_unit_test(s1_signal_waits_for_power_and_for_sections_believed_clear),
        cmocka_unit_test(s2_power_falls_with_seat_lock_or_rails_and_waits_for_the_whole_proof),
        cmocka_unit_test(s2_power_lost_in_clearing_does_not_come_back_with_the_contact),
        cmocka_unit_test(s2_no_request_brings_power_off_the_seat),
        cmocka_unit_test(s3_each_condition_alone_gone_stops_the_lift_in_the_same_step),
        cmocka_unit_test(s3_opening_waits_in_clearing_for_each_condition),
        cmocka_unit_test(s3_train_on_the_approach_holds_the_opening_for_its_time),
        cmocka_unit_test(s4_each_condition_alone_gone_stops_the_withdrawal),
        cmocka_unit_test(s4_lock_is_driven_on_the_seat_alone),
        cmocka_unit_test(s5_each_missing_input_is_safe_at_once_and_latched_in_each_phase),
        cmocka_unit_test(s5_missing_measures_and_lost_devices_are_safe_at_once),
        cmocka_unit_test(s5_contact_that_never_comes_to_rest_is_missing),
        cmocka_unit_test(s5_each_contradiction_is_safe_at_once_and_latched),
        cmocka_unit_test(s5_position_far_from_its_contact_is_a_contradiction),
        cmocka_unit_test(s6_start_anywhere_stands_still_where_contacts_prove_it),
        cmocka_unit_test(s6_span_can_be_lowered_from_wherever_it_was_found),
        cmocka_unit_test(s6_nothing_is_proved_before_every_input_is_there),
        cmocka_unit_test(s6_position_that_was_never_read_contradicts_no_contact),
        cmocka_unit_test(s6_opening_right_after_a_start_waits_for_approach_locking),
        cmocka_unit_test(s8_train_at_each_phase),
        cmocka_unit_test(s8_opening_goes_on_once_a_train_has_passed_over_the_locked_span),
        cmocka_unit_test(s9_stop_acts_in_its_step_in_each_phase_and_leaves_the_bridge_held),
        cmocka_unit_test(s9_stop_can_be_resumed_either_way),
        cmocka_unit_test(s9_emergency_stop_and_stop_circuit_in_each_phase),
        cmocka_unit_test(s9_stop_circuit_that_opens_beside_another_fault_still_keeps_the_trains),
        cmocka_unit_test(l1_raise_reaches_open_and_lower_reaches_lined_from_each_phase),
        cmocka_unit_test(l1_requests_may_change_their_mind_at_any_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
