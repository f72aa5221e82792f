/* The table of an opening, row by row. */
#include "core/sequence.h"
#include "core/words/names.h"
#include "support/check.h"
#include "support/core/puppet.h"

/* Which setup: the powered bridge, the gate lifted by hand, the gate without an open contact. */
enum lift { POWERED, BY_HAND, BY_HAND_BLIND };

/* What holds, bit by bit. */
enum {
    KNOWN = 1 << 0,
    SEATED = 1 << 1,
    LOCKED = 1 << 2,
    WITHDRAWN = 1 << 3,
    OPEN = 1 << 4,
    RAILS = 1 << 5,
    AT_STOP = 1 << 6,
    RELEASED = 1 << 7,
    CLEAR = 1 << 8,
    DEAD = 1 << 9,
    TRAIN = 1 << 10,
    NEAR_SEAT = 1 << 11,
    OVER_TIME = 1 << 12, /* the phase's longest time */
    WARNING_TIME = 1 << 13,
    HORN = 1 << 14,
    PUSHING = 1 << 15, /* the push is not over */

    AWAY = AT_STOP | RELEASED | CLEAR,
    MAY_DRIVE = AWAY | DEAD | WITHDRAWN,
    PROVED = SEATED | LOCKED | RAILS,
};

struct scene {
    struct bridge_setup setup;
    struct bridge_state state;
    struct sight sight;
};

static struct scene scene(enum lift lift, enum bridge_phase phase, enum bridge_goal goal,
                          unsigned holds) {
    struct scene s = {.setup = lift == POWERED ? puppet_setup() : puppet_hand_setup()};
    s.setup.has_open = lift != BY_HAND_BLIND;
    s.state.phase = phase;
    s.state.goal = goal;
    s.state.motion.position_frac = (holds & NEAR_SEAT) != 0 ? 0.05 : 0.5;
    s.state.motion.is_known = true;
    s.state.phase_limit = (struct watch){true, (holds & OVER_TIME) != 0 ? 0 : 1};
    s.state.warning_left_us = (holds & WARNING_TIME) != 0 ? 1 : 0;
    s.state.horn.signal = (holds & HORN) != 0 ? HORN_OPENING : HORN_SILENT;
    s.state.push_left_us = (holds & PUSHING) != 0 ? 1 : 0;
    s.state.contacts.seated.believed = (holds & SEATED) != 0 ? LEVEL_ON : LEVEL_OFF;
    s.sight = (struct sight){
        .are_inputs_known = (holds & KNOWN) != 0,
        .is_seated = (holds & SEATED) != 0,
        .is_locked = (holds & LOCKED) != 0,
        .is_withdrawn = (holds & WITHDRAWN) != 0,
        .is_open = (holds & OPEN) != 0,
        .are_rails_proved = (holds & RAILS) != 0,
        .are_signals_at_stop = (holds & AT_STOP) != 0,
        .is_released = (holds & RELEASED) != 0,
        .are_sections_clear = (holds & CLEAR) != 0,
        .are_sections_dead = (holds & DEAD) != 0,
        .is_occupied = (holds & TRAIN) != 0,
    };
    return s;
}

#define STAYS BRIDGE_PHASES

static const struct {
    enum lift lift;
    enum bridge_phase from;
    enum bridge_goal goal;
    unsigned holds;
    enum bridge_phase to;
} rows[] = {
    /* unproved: only a whole and known picture proves anything (S6) */
    {POWERED, PHASE_UNPROVED, GOAL_NONE, KNOWN | SEATED | LOCKED, PHASE_PROVING},
    {POWERED, PHASE_UNPROVED, GOAL_NONE, SEATED | LOCKED | OPEN, STAYS},
    {POWERED, PHASE_UNPROVED, GOAL_NONE, KNOWN | OPEN, PHASE_OPEN},
    {POWERED, PHASE_UNPROVED, GOAL_NONE, KNOWN | SEATED, PHASE_HELD},
    {POWERED, PHASE_UNPROVED, GOAL_NONE, KNOWN | LOCKED, PHASE_HELD},
    {POWERED, PHASE_UNPROVED, GOAL_NONE, KNOWN, PHASE_HELD},
    {BY_HAND, PHASE_UNPROVED, GOAL_NONE, KNOWN | SEATED | LOCKED, PHASE_PROVING},
    {BY_HAND, PHASE_UNPROVED, GOAL_NONE, KNOWN | SEATED, PHASE_LOCKING},
    {BY_HAND, PHASE_UNPROVED, GOAL_NONE, KNOWN, PHASE_RAISING},
    {BY_HAND, PHASE_UNPROVED, GOAL_NONE, SEATED, STAYS},

    /* lined */
    {POWERED, PHASE_LINED, GOAL_NONE, PROVED, STAYS},
    {POWERED, PHASE_LINED, GOAL_NONE, 0, STAYS}, /* a fault, not a row */
    {BY_HAND, PHASE_LINED, GOAL_NONE, PROVED, STAYS},
    {BY_HAND, PHASE_LINED, GOAL_NONE, PROVED & ~SEATED, PHASE_UNLOCKING},
    {BY_HAND, PHASE_LINED, GOAL_NONE, PROVED & ~LOCKED, PHASE_UNLOCKING},
    {BY_HAND, PHASE_LINED, GOAL_NONE, PROVED & ~RAILS, PHASE_UNLOCKING},

    /* clearing: signals, approach locking and sections, each of them */
    {POWERED, PHASE_CLEARING, GOAL_UP, AWAY, PHASE_CUTTING},
    {POWERED, PHASE_CLEARING, GOAL_UP, AWAY | OVER_TIME, PHASE_CUTTING},
    {POWERED, PHASE_CLEARING, GOAL_UP, AWAY & ~AT_STOP, STAYS},
    {POWERED, PHASE_CLEARING, GOAL_UP, AWAY & ~RELEASED, STAYS},
    {POWERED, PHASE_CLEARING, GOAL_UP, AWAY & ~CLEAR, STAYS},
    {POWERED, PHASE_CLEARING, GOAL_UP, SEATED | LOCKED | OVER_TIME, PHASE_PROVING},
    {POWERED, PHASE_CLEARING, GOAL_UP, SEATED | OVER_TIME, PHASE_HELD},
    {POWERED, PHASE_CLEARING, GOAL_UP, LOCKED | OVER_TIME, PHASE_HELD},
    {POWERED, PHASE_CLEARING, GOAL_DOWN, OVER_TIME, PHASE_HELD},
    {BY_HAND, PHASE_CLEARING, GOAL_UP, SEATED | LOCKED | OVER_TIME, PHASE_PROVING},
    {BY_HAND, PHASE_CLEARING, GOAL_UP, SEATED | OVER_TIME, PHASE_UNLOCKING},

    /* cutting */
    {POWERED, PHASE_CUTTING, GOAL_UP, DEAD, PHASE_WARNING},
    {POWERED, PHASE_CUTTING, GOAL_UP, 0, STAYS},
    {POWERED, PHASE_CUTTING, GOAL_UP, DEAD | TRAIN, PHASE_CLEARING},

    /* warning: both its time and the horn's signal */
    {POWERED, PHASE_WARNING, GOAL_UP, 0, PHASE_UNLOCKING},
    {POWERED, PHASE_WARNING, GOAL_UP, WARNING_TIME, STAYS},
    {POWERED, PHASE_WARNING, GOAL_UP, HORN, STAYS},
    {POWERED, PHASE_WARNING, GOAL_UP, TRAIN, PHASE_CLEARING},

    /* unlocking: the leave to drive, whole */
    {POWERED, PHASE_UNLOCKING, GOAL_UP, MAY_DRIVE | SEATED, PHASE_RAISING},
    {POWERED, PHASE_UNLOCKING, GOAL_DOWN, MAY_DRIVE, PHASE_LOWERING},
    {POWERED, PHASE_UNLOCKING, GOAL_NONE, MAY_DRIVE, STAYS},
    {POWERED, PHASE_UNLOCKING, GOAL_UP, MAY_DRIVE & ~WITHDRAWN, STAYS},
    {POWERED, PHASE_UNLOCKING, GOAL_UP, MAY_DRIVE & ~DEAD, STAYS},
    {POWERED, PHASE_UNLOCKING, GOAL_DOWN, MAY_DRIVE & ~RELEASED, STAYS},
    {POWERED, PHASE_UNLOCKING, GOAL_NONE, SEATED | LOCKED, STAYS},
    {BY_HAND, PHASE_UNLOCKING, GOAL_UP, 0, PHASE_RAISING},
    {BY_HAND, PHASE_UNLOCKING, GOAL_UP, SEATED, STAYS},
    {BY_HAND, PHASE_UNLOCKING, GOAL_UP, SEATED | LOCKED, STAYS}, /* not opened yet */
    {BY_HAND, PHASE_UNLOCKING, GOAL_NONE, SEATED | LOCKED, PHASE_PROVING},
    {BY_HAND, PHASE_UNLOCKING, GOAL_NONE, SEATED, STAYS},

    /* raising */
    {POWERED, PHASE_RAISING, GOAL_UP, OPEN, PHASE_OPEN},
    {POWERED, PHASE_RAISING, GOAL_UP, SEATED, STAYS},
    {BY_HAND, PHASE_RAISING, GOAL_UP, SEATED, PHASE_LOCKING},
    {BY_HAND, PHASE_RAISING, GOAL_UP, OPEN, PHASE_OPEN},
    {BY_HAND, PHASE_RAISING, GOAL_UP, 0, STAYS},

    /* open */
    {POWERED, PHASE_OPEN, GOAL_DOWN, OPEN | AWAY, PHASE_WARNING},
    {POWERED, PHASE_OPEN, GOAL_DOWN, OPEN | (AWAY & ~RELEASED), PHASE_CLEARING},
    {POWERED, PHASE_OPEN, GOAL_NONE, OPEN | AWAY, STAYS},
    {POWERED, PHASE_OPEN, GOAL_NONE, 0, STAYS}, /* a fault, not a row */
    {BY_HAND, PHASE_OPEN, GOAL_NONE, OPEN, STAYS},
    {BY_HAND, PHASE_OPEN, GOAL_NONE, SEATED, PHASE_LOCKING},
    {BY_HAND, PHASE_OPEN, GOAL_NONE, 0, PHASE_LOWERING},
    {BY_HAND_BLIND, PHASE_OPEN, GOAL_NONE, 0, STAYS},

    /* lowering */
    {POWERED, PHASE_LOWERING, GOAL_DOWN, NEAR_SEAT, PHASE_SEATING},
    {POWERED, PHASE_LOWERING, GOAL_DOWN, SEATED, PHASE_SEATING},
    {POWERED, PHASE_LOWERING, GOAL_DOWN, OPEN, STAYS},
    {BY_HAND, PHASE_LOWERING, GOAL_NONE, SEATED, PHASE_LOCKING},
    {BY_HAND, PHASE_LOWERING, GOAL_NONE, OPEN, PHASE_OPEN},
    {BY_HAND, PHASE_LOWERING, GOAL_NONE, NEAR_SEAT, STAYS},
    {BY_HAND_BLIND, PHASE_LOWERING, GOAL_NONE, OPEN, STAYS},

    /* seating: on the seat, and pushed long enough */
    {POWERED, PHASE_SEATING, GOAL_DOWN, SEATED, PHASE_LOCKING},
    {POWERED, PHASE_SEATING, GOAL_DOWN, SEATED | PUSHING, STAYS},
    {POWERED, PHASE_SEATING, GOAL_DOWN, NEAR_SEAT, STAYS},

    /* locking */
    {POWERED, PHASE_LOCKING, GOAL_DOWN, SEATED | LOCKED, PHASE_PROVING},
    {POWERED, PHASE_LOCKING, GOAL_DOWN, SEATED, STAYS},
    {POWERED, PHASE_LOCKING, GOAL_DOWN, LOCKED, STAYS},
    {BY_HAND, PHASE_LOCKING, GOAL_NONE, 0, PHASE_RAISING},
    {BY_HAND, PHASE_LOCKING, GOAL_NONE, SEATED | LOCKED, PHASE_PROVING},
    {BY_HAND, PHASE_LOCKING, GOAL_NONE, SEATED, STAYS},

    /* proving: the whole of it, signals too */
    {POWERED, PHASE_PROVING, GOAL_DOWN, PROVED | AT_STOP, PHASE_LINED},
    {POWERED, PHASE_PROVING, GOAL_DOWN, PROVED, STAYS},
    {POWERED, PHASE_PROVING, GOAL_DOWN, (PROVED & ~RAILS) | AT_STOP, STAYS},
    {POWERED, PHASE_PROVING, GOAL_DOWN, (PROVED & ~SEATED) | AT_STOP, STAYS},
    {POWERED, PHASE_PROVING, GOAL_DOWN, (PROVED & ~LOCKED) | AT_STOP, STAYS},
    {BY_HAND, PHASE_PROVING, GOAL_NONE, PROVED & ~SEATED, PHASE_RAISING},
    {BY_HAND, PHASE_PROVING, GOAL_NONE, PROVED & ~LOCKED, PHASE_LOCKING},
    {BY_HAND, PHASE_PROVING, GOAL_NONE, PROVED | AT_STOP, PHASE_LINED},

    /* held and fault wait for a request, whatever holds */
    {POWERED, PHASE_HELD, GOAL_NONE, KNOWN | PROVED | MAY_DRIVE | OPEN | OVER_TIME, STAYS},
    {POWERED, PHASE_FAULT, GOAL_NONE, KNOWN | PROVED | MAY_DRIVE | OPEN | OVER_TIME, STAYS},
};

static void each_row_leads_where_the_table_says(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct scene s = scene(rows[i].lift, rows[i].from, rows[i].goal, rows[i].holds);
        enum bridge_phase want = rows[i].to == STAYS ? rows[i].from : rows[i].to;
        bool has_changed = sequence_step(&s.setup, &s.state, &s.sight);
        if (s.state.phase != want || has_changed != (rows[i].to != STAYS)) {
            fail_msg("row %zu: %s goes to %s instead of %s", i, bridge_phase_name(rows[i].from),
                     bridge_phase_name(s.state.phase), bridge_phase_name(want));
        }
    }
}

/* ---- what the rows do on the way */

static struct scene taken(enum lift lift, enum bridge_phase from, enum bridge_goal goal,
                          unsigned holds) {
    struct scene s = scene(lift, from, goal, holds);
    s.state.has_opened = true;
    assert_true(sequence_step(&s.setup, &s.state, &s.sight));
    return s;
}

static void power_is_cut_before_anything_can_move(void **state) {
    (void)state;
    assert_true(taken(POWERED, PHASE_CLEARING, GOAL_UP, AWAY).state.is_cut);
    assert_true(taken(BY_HAND, PHASE_LINED, GOAL_NONE, SEATED).state.is_cut);
    assert_false(taken(POWERED, PHASE_CLEARING, GOAL_UP, OVER_TIME).state.is_cut);
}

static void opening_that_trains_delay_too_long_is_given_up(void **state) {
    (void)state;
    static const struct {
        enum lift lift;
        unsigned holds;
    } cases[] = {{POWERED, SEATED | LOCKED}, {POWERED, 0}, {BY_HAND, SEATED}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct scene s = taken(cases[i].lift, PHASE_CLEARING, GOAL_UP, cases[i].holds | OVER_TIME);
        assert_int_equal(s.state.goal, GOAL_NONE);
        assert_true(s.state.has_given_up);
    }
    assert_false(taken(POWERED, PHASE_CLEARING, GOAL_UP, AWAY).state.has_given_up);
}

static void warning_sounds_the_signal_of_its_direction(void **state) {
    (void)state;
    struct scene up = taken(POWERED, PHASE_CUTTING, GOAL_UP, DEAD);
    assert_int_equal(up.state.horn.signal, HORN_OPENING);
    assert_int_equal(up.state.warning_left_us, up.setup.warning_us);
    struct scene down = taken(POWERED, PHASE_OPEN, GOAL_DOWN, OPEN | AWAY);
    assert_int_equal(down.state.horn.signal, HORN_CLOSING);
    assert_int_equal(down.state.warning_left_us, down.setup.warning_us);
}

static void train_silences_the_warning(void **state) {
    (void)state;
    struct scene s = taken(POWERED, PHASE_WARNING, GOAL_UP, TRAIN | HORN);
    assert_int_equal(s.state.horn.signal, HORN_SILENT);
    assert_int_equal(s.state.goal, GOAL_UP); /* the opening goes on once it is gone */
}

static void open_ends_the_goal_and_is_remembered_until_lined(void **state) {
    (void)state;
    struct scene s = scene(POWERED, PHASE_RAISING, GOAL_UP, OPEN);
    sequence_step(&s.setup, &s.state, &s.sight);
    assert_int_equal(s.state.goal, GOAL_NONE);
    assert_true(s.state.has_opened);
    s = scene(POWERED, PHASE_UNPROVED, GOAL_NONE, KNOWN | OPEN); /* found open */
    sequence_step(&s.setup, &s.state, &s.sight);
    assert_true(s.state.has_opened);
}

static void lined_counts_an_opening_only_if_it_was_open(void **state) {
    (void)state;
    for (unsigned has_opened = 0; has_opened < 2; has_opened++) {
        struct scene s = scene(POWERED, PHASE_PROVING, GOAL_DOWN, PROVED | AT_STOP);
        s.state.has_opened = has_opened;
        s.state.is_cut = true;
        s.state.openings = 41;
        sequence_step(&s.setup, &s.state, &s.sight);
        assert_int_equal(s.state.openings, 41 + has_opened);
        assert_false(s.state.has_opened);
        assert_false(s.state.is_cut);
        assert_int_equal(s.state.goal, GOAL_NONE);
    }
}

static void gate_put_back_on_its_seat_wants_nothing_more(void **state) {
    (void)state;
    assert_int_equal(taken(BY_HAND, PHASE_RAISING, GOAL_UP, SEATED).state.goal, GOAL_NONE);
}

static void seating_begins_with_the_whole_push(void **state) {
    (void)state;
    struct scene s = taken(POWERED, PHASE_LOWERING, GOAL_DOWN, NEAR_SEAT);
    assert_int_equal(s.state.push_left_us, s.setup.motion.push_us);
}

/* ---- time */

static void each_phase_has_its_longest_time(void **state) {
    (void)state;
    struct bridge_setup with = puppet_setup();
    struct bridge_setup by_hand = puppet_hand_setup();
    struct bridge_setup bar_by_hand = puppet_setup();
    bar_by_hand.has_lock_drive = false;

    const struct {
        const struct bridge_setup *setup;
        enum bridge_phase phase;
        bool is_known;
        uint32_t want_us;
    } cases[] = {
        {&with, PHASE_CLEARING, true, with.clearing_limit_us},
        {&with, PHASE_UNLOCKING, true, with.lock_limit_us},
        {&with, PHASE_LOCKING, true, with.lock_limit_us},
        {&with, PHASE_RAISING, true, with.motion.travel_limit_us},
        {&with, PHASE_LOWERING, true, with.motion.travel_limit_us},
        {&with, PHASE_SEATING, true, with.motion.seat_limit_us},
        {&with, PHASE_PROVING, true, with.proof_limit_us},
        {&with, PHASE_UNPROVED, true, 0},
        {&with, PHASE_LINED, true, 0},
        {&with, PHASE_CUTTING, true, 0},
        {&with, PHASE_WARNING, true, 0},
        {&with, PHASE_OPEN, true, 0},
        {&with, PHASE_HELD, true, 0},
        {&with, PHASE_FAULT, true, 0},
        {&with, BRIDGE_PHASES, true, 0},
        {&with, BRIDGE_PHASES + 1, true, 0},
        /* not known where: creep takes 100 s at best, half as long again is allowed */
        {&with, PHASE_RAISING, false, 150000000},
        {&with, PHASE_LOWERING, false, 150000000},
        {&bar_by_hand, PHASE_UNLOCKING, true, 0}, /* a hand takes what it takes */
        {&bar_by_hand, PHASE_LOCKING, true, 0},
        {&by_hand, PHASE_RAISING, true, 0},
        {&by_hand, PHASE_LOWERING, true, 0},
        {&by_hand, PHASE_UNLOCKING, true, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bridge_state bridge = {.motion.is_known = cases[i].is_known};
        sequence_enter(cases[i].setup, &bridge, cases[i].phase);
        assert_int_equal(bridge.phase, cases[i].phase);
        assert_int_equal(bridge.phase_limit.left_us, cases[i].want_us);
        assert_int_equal(bridge.phase_limit.is_running, cases[i].want_us > 0);
    }
}

static void very_slow_creep_does_not_overflow_the_time(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct bridge_state bridge = {0};
    setup.motion.creep_speed_frac_s = 1e-9;
    sequence_enter(&setup, &bridge, PHASE_RAISING);
    assert_int_equal(bridge.phase_limit.left_us, UINT32_MAX);
}

static void time_passes_for_limit_warning_horn_and_push(void **state) {
    (void)state;
    struct scene s = scene(POWERED, PHASE_SEATING, GOAL_DOWN, SEATED);
    s.state.phase_limit.left_us = s.state.warning_left_us = s.state.push_left_us = 1000;
    s.state.horn = (struct horn_state){HORN_CLOSING, 0, 1000};
    sequence_pass_time(&s.setup, &s.state, &s.sight, 400);
    assert_int_equal(s.state.phase_limit.left_us, 600);
    assert_int_equal(s.state.warning_left_us, 600);
    assert_int_equal(s.state.push_left_us, 600);
    assert_int_equal(s.state.horn.left_us, 600);
    s.sight.is_seated = false; /* off the seat there is no push to count */
    sequence_pass_time(&s.setup, &s.state, &s.sight, 400);
    assert_int_equal(s.state.phase_limit.left_us, 200);
    assert_int_equal(s.state.push_left_us, 600);
}

/* ---- where the lift shall go */

static void lift_goes_in_three_phases_alone(void **state) {
    (void)state;
    for (unsigned phase = 0; phase <= BRIDGE_PHASES + 1; phase++) {
        struct bridge_state bridge = {.phase = (enum bridge_phase)phase};
        int want = phase == PHASE_RAISING                              ? 1
                   : phase == PHASE_LOWERING || phase == PHASE_SEATING ? -1
                                                                       : 0;
        assert_int_equal(sequence_direction(&bridge), want);
    }
}

static void push_is_on_the_seat_while_seating(void **state) {
    (void)state;
    const struct sight seated = {.is_seated = true};
    const struct sight off = {0};
    for (unsigned phase = 0; phase < BRIDGE_PHASES; phase++) {
        struct bridge_state bridge = {.phase = (enum bridge_phase)phase};
        assert_int_equal(sequence_is_pushing(&bridge, &seated), phase == PHASE_SEATING);
        assert_false(sequence_is_pushing(&bridge, &off));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_row_leads_where_the_table_says),
        cmocka_unit_test(power_is_cut_before_anything_can_move),
        cmocka_unit_test(opening_that_trains_delay_too_long_is_given_up),
        cmocka_unit_test(warning_sounds_the_signal_of_its_direction),
        cmocka_unit_test(train_silences_the_warning),
        cmocka_unit_test(open_ends_the_goal_and_is_remembered_until_lined),
        cmocka_unit_test(lined_counts_an_opening_only_if_it_was_open),
        cmocka_unit_test(gate_put_back_on_its_seat_wants_nothing_more),
        cmocka_unit_test(seating_begins_with_the_whole_push),
        cmocka_unit_test(each_phase_has_its_longest_time),
        cmocka_unit_test(very_slow_creep_does_not_overflow_the_time),
        cmocka_unit_test(time_passes_for_limit_warning_horn_and_push),
        cmocka_unit_test(lift_goes_in_three_phases_alone),
        cmocka_unit_test(push_is_on_the_seat_while_seating),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
