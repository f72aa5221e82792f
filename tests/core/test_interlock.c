/* What is proved, what is allowed, and what is wrong. */
#include "core/bridge.h"
#include "core/interlock.h"
#include "core/track.h"
#include "core/words/names.h"
#include "support/check.h"
#include "support/core/core_parts.h"
#include "support/core/puppet.h"

#include <math.h>

/* ---- the leaves, each condition alone */

static const struct sight everything = {
    .are_inputs_known = true,
    .is_seated = true,
    .is_locked = true,
    .is_withdrawn = true,
    .is_open = true,
    .are_rails_proved = true,
    .are_signals_at_stop = true,
    .is_released = true,
    .are_sections_clear = true,
    .are_sections_dead = true,
};

static const size_t conditions[] = {
    offsetof(struct sight, are_inputs_known),
    offsetof(struct sight, is_seated),
    offsetof(struct sight, is_locked),
    offsetof(struct sight, is_withdrawn),
    offsetof(struct sight, is_open),
    offsetof(struct sight, are_rails_proved),
    offsetof(struct sight, are_signals_at_stop),
    offsetof(struct sight, is_released),
    offsetof(struct sight, are_sections_clear),
    offsetof(struct sight, are_sections_dead),
};
enum { CONDITIONS = sizeof conditions / sizeof conditions[0] };

typedef bool leave(const struct bridge_state *state, const struct sight *sight);

/* Bit per condition, as numbered above, that the leave needs. */
enum {
    SEATED = 1 << 1,
    LOCKED = 1 << 2,
    WITHDRAWN = 1 << 3,
    RAILS = 1 << 5,
    AT_STOP = 1 << 6,
    RELEASED = 1 << 7,
    CLEAR = 1 << 8,
    DEAD = 1 << 9,
};

static const struct {
    leave *may;
    unsigned needs;
    enum bridge_phase phase;
} leaves[] = {
    {interlock_may_power, SEATED | LOCKED, PHASE_LINED},                                 /* S2 */
    {interlock_may_clear_signals, SEATED | LOCKED | RAILS, PHASE_LINED},                 /* S1 */
    {interlock_may_drive, AT_STOP | RELEASED | CLEAR | DEAD | WITHDRAWN, PHASE_RAISING}, /* S3 */
    {interlock_may_withdraw, AT_STOP | RELEASED | CLEAR | DEAD, PHASE_UNLOCKING},        /* S4 */
    {interlock_may_lock, SEATED, PHASE_LOCKING},                                         /* S4 */
};
static const size_t leaves_count = sizeof leaves / sizeof leaves[0];

static void leave_needs_each_of_its_conditions_and_no_other(void **state) {
    (void)state;
    for (size_t i = 0; i < leaves_count; i++) {
        struct bridge_state bridge = {.phase = leaves[i].phase};
        assert_true(leaves[i].may(&bridge, &everything));
        for (unsigned c = 0; c < CONDITIONS; c++) {
            struct sight sight = everything;
            *(bool *)((char *)&sight + conditions[c]) = false;
            bool is_needed = (leaves[i].needs & (1U << c)) != 0;
            assert_int_equal(leaves[i].may(&bridge, &sight), !is_needed);
        }
    }
}

static void latched_fault_takes_every_leave(void **state) {
    (void)state;
    const struct bridge_state faulty = {.phase = PHASE_FAULT};
    for (size_t i = 0; i < leaves_count; i++) {
        assert_false(leaves[i].may(&faulty, &everything));
    }
}

static void signals_clear_in_lined_alone_and_with_the_lift_at_rest(void **state) {
    (void)state;
    for (unsigned phase = 0; phase < BRIDGE_PHASES; phase++) {
        struct bridge_state bridge = {.phase = (enum bridge_phase)phase};
        assert_int_equal(interlock_may_clear_signals(&bridge, &everything), phase == PHASE_LINED);
    }
    for (int direction = -1; direction <= 1; direction += 2) {
        struct bridge_state moving = {.phase = PHASE_LINED, .motion.direction = direction};
        assert_false(interlock_may_clear_signals(&moving, &everything));
    }
}

static void lock_goes_where_the_phase_wants_it_and_the_leave_lets_it(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase phase;
        enum lock_drive want;
        unsigned needs; /* by the bits above */
        unsigned rests; /* once this holds */
    } cases[] = {
        {PHASE_UNLOCKING, LOCK_DRIVE_WITHDRAWN, AT_STOP | RELEASED | CLEAR | DEAD, WITHDRAWN},
        {PHASE_LOCKING, LOCK_DRIVE_DRIVEN, SEATED, LOCKED},
    };
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bridge_state bridge = {.phase = cases[i].phase};
        for (unsigned holds = 0; holds < 1U << CONDITIONS; holds++) {
            struct sight sight = {0};
            for (unsigned c = 0; c < CONDITIONS; c++) {
                *(bool *)((char *)&sight + conditions[c]) = (holds & (1U << c)) != 0;
            }
            bool is_driven =
                (holds & cases[i].needs) == cases[i].needs && (holds & cases[i].rests) == 0;
            setup.has_lock_drive = true;
            assert_int_equal(interlock_lock_command(&setup, &bridge, &sight),
                             is_driven ? cases[i].want : LOCK_DRIVE_REST);
            setup.has_lock_drive = false;
            assert_int_equal(interlock_lock_command(&setup, &bridge, &sight), LOCK_DRIVE_REST);
        }
    }
}

/* ---- what is seen */

static struct sight look(const struct puppet *p) {
    return interlock_look(&p->setup, &p->state, &p->inputs);
}

static void sight_of_a_lined_bridge(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    struct sight sight = look(&p);
    assert_true(sight.are_inputs_known && sight.is_seated && sight.is_locked);
    assert_true(sight.are_rails_proved && sight.is_released && sight.are_sections_clear);
    assert_false(sight.is_withdrawn || sight.is_open || sight.is_occupied);
    assert_false(sight.are_signals_at_stop || sight.are_sections_dead);
    assert_true(interlock_is_span_proved(&sight));
}

static void sight_of_an_open_bridge(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_OPEN);
    struct sight sight = look(&p);
    assert_true(sight.are_inputs_known && sight.is_withdrawn && sight.is_open);
    assert_true(sight.are_signals_at_stop && sight.are_sections_dead && sight.is_released);
    assert_true(sight.are_sections_clear);
    assert_false(sight.is_seated || sight.is_locked || sight.is_occupied);
    assert_false(interlock_is_span_proved(&sight));
}

static void occupied_sections_are_seen(void **state) {
    (void)state;
    static const size_t sections[] = {
        offsetof(struct bridge_inputs, track[0].end[0].stop_clear),
        offsetof(struct bridge_inputs, track[0].end[1].stop_clear),
        offsetof(struct bridge_inputs, track[0].span_clear),
    };
    for (size_t i = 0; i < sizeof sections / sizeof sections[0]; i++) {
        struct bridge_setup setup = puppet_setup();
        struct puppet p;
        puppet_line(&p, &setup);
        *core_level_at(&p.inputs, sections[i]) = LEVEL_OFF;
        track_observe(&p.setup, &p.state, &p.inputs, lapse_of(0, 0));
        assert_true(look(&p).is_occupied);
        assert_false(look(&p).are_sections_clear);
    }
}

static void one_rail_of_four_unproved_is_not_in_line(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.rails = BRIDGE_RAILS_MAX;
    for (unsigned i = 0; i < BRIDGE_RAILS_MAX; i++) {
        struct puppet p;
        puppet_line(&p, &setup);
        assert_true(look(&p).are_rails_proved);
        p.state.contacts.rail[i].believed = LEVEL_OFF;
        assert_false(look(&p).are_rails_proved);
        assert_true(look(&p).are_inputs_known);
        p.state.contacts.rail[i].believed = LEVEL_UNKNOWN;
        assert_false(look(&p).are_inputs_known);
    }
}

/* Every contact and measure that the setup has must give a reading; absent ones need not. */
static void unknown_reading_of_each_contact_is_seen(void **state) {
    (void)state;
    static const struct {
        size_t contact; /* in struct bridge_contacts */
        size_t part;    /* in struct bridge_setup; 0: always there */
    } cases[] = {
        {offsetof(struct bridge_contacts, seated), 0},
        {offsetof(struct bridge_contacts, locked), 0},
        {offsetof(struct bridge_contacts, withdrawn), offsetof(struct bridge_setup, has_withdrawn)},
        {offsetof(struct bridge_contacts, open), offsetof(struct bridge_setup, has_open)},
        {offsetof(struct bridge_contacts, nearly_seated),
         offsetof(struct bridge_setup, has_nearly_seated)},
        {offsetof(struct bridge_contacts, nearly_open),
         offsetof(struct bridge_setup, has_nearly_open)},
        {offsetof(struct bridge_contacts, within_travel),
         offsetof(struct bridge_setup, has_overtravel)},
    };
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet p;
        puppet_line(&p, &setup);
        struct debounced *contact =
            (struct debounced *)((char *)&p.state.contacts + cases[i].contact);
        contact->believed = LEVEL_UNKNOWN;
        assert_false(look(&p).are_inputs_known);
        if (cases[i].part != 0) {
            *(bool *)((char *)&p.setup + cases[i].part) = false;
            assert_true(look(&p).are_inputs_known);
        }
    }
}

static void measure_that_is_no_number_is_no_reading(void **state) {
    (void)state;
    static const double bad[] = {NAN, INFINITY, -INFINITY};
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct puppet p;
        puppet_line(&p, &setup);
        p.inputs.position_frac = bad[i];
        assert_false(look(&p).are_inputs_known);
        p.setup.motion.has_position = false;
        assert_true(look(&p).are_inputs_known);
        p.inputs.current_a = bad[i];
        assert_false(look(&p).are_inputs_known);
        p.setup.motion.has_current = false;
        assert_true(look(&p).are_inputs_known);
    }
}

/* ---- standing faults */

/* One step after a contradiction, loss or train came up in a phase. */
static enum bridge_fault standing(struct puppet *p) {
    struct sight sight = look(p);
    return interlock_standing_fault(&p->setup, &p->state, &p->inputs, &sight);
}

static void quiet_bridge_has_no_standing_fault_in_any_phase(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    for (unsigned phase = 0; phase < BRIDGE_PHASES; phase++) {
        struct puppet p;
        puppet_start_in(&p, &setup, (enum bridge_phase)phase);
        assert_int_equal(standing(&p), FAULT_NONE);
    }
}

static void pressed_stop_comes_first_then_a_lost_device_then_what_it_takes_with_it(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    p.inputs.position_frac = NAN;
    assert_int_equal(standing(&p), FAULT_INPUT_LOST);
    p.inputs.stop_circuit = LEVEL_OFF;
    assert_int_equal(standing(&p), FAULT_STOP_CIRCUIT);
    p.inputs.stop_circuit = LEVEL_UNKNOWN;
    assert_int_equal(standing(&p), FAULT_STOP_CIRCUIT);
    p.inputs.is_device_lost = true; /* its inputs' readings went with it */
    assert_int_equal(standing(&p), FAULT_DEVICE_LOST);
    p.inputs.stop_circuit = LEVEL_OFF; /* read through another device */
    assert_int_equal(standing(&p), FAULT_STOP_CIRCUIT);
    p.setup.has_stop_circuit = false;
    assert_int_equal(standing(&p), FAULT_DEVICE_LOST);
    p.state.phase = PHASE_UNPROVED;
    assert_int_equal(standing(&p), FAULT_DEVICE_LOST);
    p.inputs.is_device_lost = false;
    assert_int_equal(standing(&p), FAULT_NONE); /* nothing was there yet that could be lost */
}

#define N LEVEL_ON
#define F LEVEL_OFF
#define U LEVEL_UNKNOWN /* no such contact */

/* Whole pictures: the first ones agree in themselves, in the others only the named pair is wrong.
 */
static const struct {
    const char *what;
    enum level seated, nearly_seated, open, nearly_open, locked, withdrawn;
    double position_frac; /* NAN: not measured */
    bool is_contradiction;
} pictures[] = {
    {"seated and locked", N, N, F, F, N, F, 0, false},
    {"seated, lock between", N, N, F, F, F, F, 0.029, false},
    {"seated and withdrawn", N, N, F, F, F, N, -0.029, false},
    {"near the seat", F, N, F, F, F, N, 0.04, false},
    {"between", F, F, F, F, F, N, 0.5, false},
    {"near open", F, F, F, N, F, N, 0.96, false},
    {"open", F, F, N, N, F, N, 0.971, false},
    {"open and a little beyond", F, F, N, N, F, N, 1.029, false},
    {"seated without more contacts", N, U, F, U, N, F, NAN, false},
    {"open without more contacts", F, U, N, U, F, N, NAN, false},
    {"seated and open", N, U, N, U, F, F, NAN, true},
    {"seated and nearly open", N, U, F, N, F, F, NAN, true},
    {"seated, not nearly seated", N, F, F, U, F, F, NAN, true},
    {"seated, position above", N, N, F, F, F, F, 0.031, true},
    {"seated, position below", N, N, F, F, F, F, -0.031, true},
    {"open and nearly seated", F, N, N, U, F, F, NAN, true},
    {"open, not nearly open", F, U, N, F, F, F, NAN, true},
    {"open, position below", F, F, N, N, F, F, 0.969, true},
    {"open, position above", F, F, N, N, F, F, 1.031, true},
    {"nearly seated and nearly open", F, N, F, N, F, F, NAN, true},
    {"locked and withdrawn", N, N, F, F, N, N, 0, true},
    {"locked off the seat", F, F, F, F, N, F, 0.5, true},
};

static void contacts_and_position_that_cannot_both_be_right_are_a_contradiction(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof pictures / sizeof pictures[0]; i++) {
        struct puppet p;
        puppet_start_in(&p, &setup, PHASE_HELD);
        struct bridge_contacts *contacts = &p.state.contacts;
        contacts->seated.believed = pictures[i].seated;
        contacts->nearly_seated.believed = pictures[i].nearly_seated;
        contacts->open.believed = pictures[i].open;
        contacts->nearly_open.believed = pictures[i].nearly_open;
        contacts->locked.believed = pictures[i].locked;
        contacts->withdrawn.believed = pictures[i].withdrawn;
        p.state.motion.position_frac =
            isnan(pictures[i].position_frac) ? 0.5 : pictures[i].position_frac;
        p.setup.motion.has_position = !isnan(pictures[i].position_frac);
        p.setup.has_nearly_seated = pictures[i].nearly_seated != U;
        p.setup.has_nearly_open = pictures[i].nearly_open != U;
        enum bridge_fault want = pictures[i].is_contradiction ? FAULT_CONTRADICTION : FAULT_NONE;
        if (standing(&p) != want) {
            fail_msg("%s", pictures[i].what);
        }
    }
}

/* S8: on a lined bridge trains run; elsewhere a train is an overrun, as soon as the span is not
 * held under it; where nothing is proved yet there is nothing to say. */
static void train_is_an_overrun_unless_the_span_is_held_under_it(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase phase;
        bool is_overrun;
    } cases[] = {
        {PHASE_UNPROVED, false}, {PHASE_LINED, false},   {PHASE_CLEARING, false},
        {PHASE_CUTTING, false},  {PHASE_WARNING, false}, {PHASE_UNLOCKING, true},
        {PHASE_RAISING, true},   {PHASE_OPEN, true},     {PHASE_LOWERING, true},
        {PHASE_SEATING, true},   {PHASE_LOCKING, true},  {PHASE_PROVING, false},
        {PHASE_HELD, true},
    };
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet p;
        puppet_start_in(&p, &setup, cases[i].phase);
        p.state.track[0].is_occupied = true;
        assert_int_equal(standing(&p), cases[i].is_overrun ? FAULT_OVERRUN : FAULT_NONE);
    }
}

static void overrun_needs_both_seat_and_lock_to_be_none(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_WARNING);
    p.state.track[0].is_occupied = true;
    p.state.contacts.locked.believed = LEVEL_OFF;
    assert_int_equal(standing(&p), FAULT_OVERRUN);
    p.state.contacts.seated.believed = LEVEL_OFF;
    assert_int_equal(standing(&p), FAULT_OVERRUN);
}

static void proofs_that_failed_stand(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    p.state.track[0].end[1].power_unproved = (struct watch){true, 0};
    assert_int_equal(standing(&p), FAULT_POWER_UNPROVED);
    p.state.track[0].end[1].signal_unproved = (struct watch){true, 0};
    assert_int_equal(standing(&p), FAULT_SIGNAL_UNPROVED);
}

/* ---- faults of a phase */

/* Which fault the loss of one condition is in a phase. A sight fit for any phase is `everything`.
 */
static void loss_of_each_condition_in_each_phase(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase phase;
        size_t lost; /* in struct sight */
        enum bridge_fault want, want_by_hand;
    } cases[] = {
        {PHASE_LINED, offsetof(struct sight, is_seated), FAULT_PROOF_LOST, FAULT_NONE},
        {PHASE_LINED, offsetof(struct sight, is_locked), FAULT_PROOF_LOST, FAULT_NONE},
        {PHASE_LINED, offsetof(struct sight, are_rails_proved), FAULT_PROOF_LOST, FAULT_NONE},
        {PHASE_PROVING, offsetof(struct sight, is_seated), FAULT_PROOF_LOST, FAULT_NONE},
        {PHASE_PROVING, offsetof(struct sight, is_locked), FAULT_PROOF_LOST, FAULT_NONE},
        {PHASE_PROVING, offsetof(struct sight, are_rails_proved), FAULT_NONE, FAULT_NONE},
        {PHASE_LOCKING, offsetof(struct sight, is_seated), FAULT_PROOF_LOST, FAULT_NONE},
        {PHASE_LOCKING, offsetof(struct sight, is_locked), FAULT_NONE, FAULT_NONE},
        {PHASE_UNLOCKING, offsetof(struct sight, is_withdrawn), FAULT_NONE, FAULT_NONE},
        {PHASE_RAISING, offsetof(struct sight, are_signals_at_stop), FAULT_SIGNAL_UNPROVED,
         FAULT_NONE},
        {PHASE_RAISING, offsetof(struct sight, are_sections_dead), FAULT_POWER_UNPROVED,
         FAULT_NONE},
        {PHASE_RAISING, offsetof(struct sight, is_withdrawn), FAULT_LOCK_UNPROVED, FAULT_NONE},
        {PHASE_LOWERING, offsetof(struct sight, are_signals_at_stop), FAULT_SIGNAL_UNPROVED,
         FAULT_NONE},
        {PHASE_LOWERING, offsetof(struct sight, are_sections_dead), FAULT_POWER_UNPROVED,
         FAULT_NONE},
        {PHASE_LOWERING, offsetof(struct sight, is_withdrawn), FAULT_LOCK_UNPROVED, FAULT_NONE},
        {PHASE_SEATING, offsetof(struct sight, are_signals_at_stop), FAULT_SIGNAL_UNPROVED,
         FAULT_SIGNAL_UNPROVED},
        {PHASE_SEATING, offsetof(struct sight, is_withdrawn), FAULT_LOCK_UNPROVED,
         FAULT_LOCK_UNPROVED},
        {PHASE_OPEN, offsetof(struct sight, is_open), FAULT_DRIFT, FAULT_NONE},
        {PHASE_HELD, offsetof(struct sight, is_seated), FAULT_NONE, FAULT_NONE},
        {PHASE_CLEARING, offsetof(struct sight, is_seated), FAULT_NONE, FAULT_NONE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bridge_state bridge = {.phase = cases[i].phase};
        struct sight sight = everything;
        *(bool *)((char *)&sight + cases[i].lost) = false;
        struct bridge_setup powered = puppet_setup();
        struct bridge_setup by_hand = puppet_hand_setup();
        assert_int_equal(interlock_phase_fault(&powered, &bridge, &sight), cases[i].want);
        assert_int_equal(interlock_phase_fault(&by_hand, &bridge, &sight), cases[i].want_by_hand);
    }
}

static void longest_time_of_each_phase_is_its_own_fault(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase phase;
        enum bridge_fault want;
    } cases[] = {
        {PHASE_UNPROVED, FAULT_NONE},
        {PHASE_CLEARING, FAULT_NONE}, /* given up, by the table */
        {PHASE_CUTTING, FAULT_NONE},
        {PHASE_WARNING, FAULT_NONE},
        {PHASE_UNLOCKING, FAULT_LOCK_UNPROVED},
        {PHASE_RAISING, FAULT_TRAVEL_TIME},
        {PHASE_OPEN, FAULT_NONE},
        {PHASE_LOWERING, FAULT_TRAVEL_TIME},
        {PHASE_SEATING, FAULT_SEAT_TIME},
        {PHASE_LOCKING, FAULT_LOCK_UNPROVED},
        {PHASE_PROVING, FAULT_RAILS_UNPROVED},
        {PHASE_HELD, FAULT_NONE},
        {PHASE_FAULT, FAULT_NONE},
        {BRIDGE_PHASES, FAULT_NONE},
        {BRIDGE_PHASES + 1, FAULT_NONE},
    };
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bridge_state bridge = {.phase = cases[i].phase, .phase_limit = {true, 1}};
        assert_int_equal(interlock_phase_fault(&setup, &bridge, &everything), FAULT_NONE);
        bridge.phase_limit.left_us = 0;
        struct sight sight = everything;
        sight.are_rails_proved = bridge.phase != PHASE_PROVING;
        assert_string_equal(bridge_fault_name(interlock_phase_fault(&setup, &bridge, &sight)),
                            bridge_fault_name(cases[i].want));
    }
}

/* The bar was held by approach locking that began anew, not by its own drive. */
static void bar_held_by_a_signal_that_was_not_proved_is_the_signals_fault(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct bridge_state bridge = {.phase = PHASE_UNLOCKING, .phase_limit = {true, 1}};
    struct sight sight = everything;
    sight.is_released = false;
    assert_int_equal(interlock_phase_fault(&setup, &bridge, &sight), FAULT_NONE);
    bridge.phase_limit.left_us = 0;
    assert_int_equal(interlock_phase_fault(&setup, &bridge, &sight), FAULT_SIGNAL_UNPROVED);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(leave_needs_each_of_its_conditions_and_no_other),
        cmocka_unit_test(latched_fault_takes_every_leave),
        cmocka_unit_test(signals_clear_in_lined_alone_and_with_the_lift_at_rest),
        cmocka_unit_test(lock_goes_where_the_phase_wants_it_and_the_leave_lets_it),
        cmocka_unit_test(sight_of_a_lined_bridge),
        cmocka_unit_test(sight_of_an_open_bridge),
        cmocka_unit_test(occupied_sections_are_seen),
        cmocka_unit_test(one_rail_of_four_unproved_is_not_in_line),
        cmocka_unit_test(unknown_reading_of_each_contact_is_seen),
        cmocka_unit_test(measure_that_is_no_number_is_no_reading),
        cmocka_unit_test(quiet_bridge_has_no_standing_fault_in_any_phase),
        cmocka_unit_test(pressed_stop_comes_first_then_a_lost_device_then_what_it_takes_with_it),
        cmocka_unit_test(contacts_and_position_that_cannot_both_be_right_are_a_contradiction),
        cmocka_unit_test(train_is_an_overrun_unless_the_span_is_held_under_it),
        cmocka_unit_test(overrun_needs_both_seat_and_lock_to_be_none),
        cmocka_unit_test(proofs_that_failed_stand),
        cmocka_unit_test(loss_of_each_condition_in_each_phase),
        cmocka_unit_test(longest_time_of_each_phase_is_its_own_fault),
        cmocka_unit_test(bar_held_by_a_signal_that_was_not_proved_is_the_signals_fault),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
