#include "core/sequence.h"

#include "core/horn.h"
#include "core/lock.h"
#include "core/motion.h"
#include "core/timing.h"
#include "core/unwatched.h"

#include <math.h>
#include <stddef.h>

struct sequence {
    const struct bridge_setup *setup;
    struct bridge_state *state;
    const struct sight *sight;
};

typedef bool guard(const struct sequence *s);
typedef void action(const struct sequence *s);

struct row {
    enum bridge_phase from;
    guard *when;
    action *then; /* may be NULL */
    enum bridge_phase to;
};

/* ---- guards: the span */

static bool is_known_seated_locked(const struct sequence *s) {
    return s->sight->are_inputs_known && s->sight->is_seated && s->sight->is_locked;
}

static bool is_known_open(const struct sequence *s) {
    return s->sight->are_inputs_known && s->sight->is_open;
}

static bool is_known(const struct sequence *s) {
    return s->sight->are_inputs_known;
}

static bool is_locked(const struct sequence *s) {
    return s->sight->is_seated && s->sight->is_locked;
}

static bool is_lined_up(const struct sequence *s) {
    return interlock_is_span_proved(s->sight) && s->sight->are_signals_at_stop;
}

static bool is_open(const struct sequence *s) {
    return s->sight->is_open;
}

static bool is_driven_near_seat(const struct sequence *s) {
    return !s->setup->is_hand_lifted &&
           motion_is_near_seat(s->setup, &s->state->motion, &s->state->contacts);
}

static bool is_push_over(const struct sequence *s) {
    return s->sight->is_seated && s->state->push_left_us == 0;
}

/* ---- guards: hand-lifted spans tell by their contacts alone */

static bool is_by_hand(const struct sequence *s) {
    return s->setup->is_hand_lifted;
}

static bool is_hand_known_seated(const struct sequence *s) {
    return is_by_hand(s) && is_known(s) && s->sight->is_seated;
}

static bool is_hand_known(const struct sequence *s) {
    return is_by_hand(s) && is_known(s);
}

static bool is_hand_unproved(const struct sequence *s) {
    return is_by_hand(s) && !interlock_is_span_proved(s->sight);
}

static bool is_hand_seated(const struct sequence *s) {
    return is_by_hand(s) && s->sight->is_seated;
}

static bool is_hand_lifted(const struct sequence *s) {
    return is_by_hand(s) && !s->sight->is_seated;
}

/* It is in hand already: nothing to hold, whatever the trains do. */
static bool is_hand_over_time(const struct sequence *s) {
    return is_by_hand(s) && watch_has_expired(&s->state->phase_limit);
}

static bool is_hand_unlocked(const struct sequence *s) {
    return is_by_hand(s) && !s->sight->is_locked;
}

/* The lock was opened, and closed again without the span being lifted. */
static bool is_hand_closed_again(const struct sequence *s) {
    return is_by_hand(s) && s->state->goal != GOAL_UP && is_locked(s);
}

static bool is_hand_not_open(const struct sequence *s) {
    return is_by_hand(s) && s->setup->has_open && !s->sight->is_open;
}

static bool is_hand_fully_open(const struct sequence *s) {
    return is_by_hand(s) && s->setup->has_open && s->sight->is_open;
}

/* ---- guards: trains, requests, time */

static bool wants_up(const struct sequence *s) {
    return s->state->goal == GOAL_UP;
}

static bool wants_down(const struct sequence *s) {
    return s->state->goal == GOAL_DOWN;
}

static bool are_trains_away(const struct sequence *s) {
    return s->sight->are_signals_at_stop && s->sight->is_released && s->sight->are_sections_clear;
}

static bool wants_down_trains_away(const struct sequence *s) {
    return wants_down(s) && are_trains_away(s);
}

static bool is_over_time_locked(const struct sequence *s) {
    return watch_has_expired(&s->state->phase_limit) && is_locked(s);
}

static bool is_over_time(const struct sequence *s) {
    return watch_has_expired(&s->state->phase_limit);
}

static bool has_train_come(const struct sequence *s) {
    return s->sight->is_occupied;
}

static bool are_sections_dead(const struct sequence *s) {
    return s->sight->are_sections_dead;
}

static bool is_warning_over(const struct sequence *s) {
    return s->state->warning_left_us == 0 && s->state->horn.signal == HORN_SILENT;
}

static bool may_rise(const struct sequence *s) {
    return !is_by_hand(s) && wants_up(s) && interlock_may_drive(s->state, s->sight);
}

static bool may_lower(const struct sequence *s) {
    return wants_down(s) && interlock_may_drive(s->state, s->sight);
}

/* ---- actions */

static void cut_power(const struct sequence *s) {
    s->state->is_cut = true;
}

static void give_up(const struct sequence *s) {
    s->state->goal = GOAL_NONE;
    s->state->has_given_up = true;
}

static void forget_goal(const struct sequence *s) {
    s->state->goal = GOAL_NONE;
}

static void start_warning(const struct sequence *s) {
    s->state->warning_left_us = s->setup->warning_us;
    horn_start(s->setup, &s->state->horn, wants_down(s) ? HORN_CLOSING : HORN_OPENING);
}

static void silence(const struct sequence *s) {
    horn_start(s->setup, &s->state->horn, HORN_SILENT);
}

static void reach_open(const struct sequence *s) {
    s->state->goal = GOAL_NONE;
    s->state->has_opened = true;
}

static void start_push(const struct sequence *s) {
    s->state->push_left_us = s->setup->motion.push_us;
}

static void reach_lined(const struct sequence *s) {
    if (s->state->has_opened) {
        s->state->openings++;
    }
    s->state->has_opened = false;
    s->state->goal = GOAL_NONE;
    s->state->is_cut = false;
    unwatched_forget(s->state);
}

/* ---- the table; the first row whose guard holds is taken */

static const struct row rows[] = {
    {PHASE_UNPROVED, is_known_seated_locked, NULL, PHASE_PROVING},
    {PHASE_UNPROVED, is_hand_known_seated, NULL, PHASE_LOCKING},
    {PHASE_UNPROVED, is_hand_known, NULL, PHASE_RAISING},
    {PHASE_UNPROVED, is_known_open, reach_open, PHASE_OPEN},
    {PHASE_UNPROVED, is_known, NULL, PHASE_HELD},

    {PHASE_LINED, is_hand_unproved, cut_power, PHASE_UNLOCKING},

    {PHASE_CLEARING, are_trains_away, cut_power, PHASE_CUTTING},
    {PHASE_CLEARING, is_over_time_locked, give_up, PHASE_PROVING},
    {PHASE_CLEARING, is_hand_over_time, give_up, PHASE_UNLOCKING},
    {PHASE_CLEARING, is_over_time, give_up, PHASE_HELD},

    {PHASE_CUTTING, has_train_come, NULL, PHASE_CLEARING},
    {PHASE_CUTTING, are_sections_dead, start_warning, PHASE_WARNING},

    {PHASE_WARNING, has_train_come, silence, PHASE_CLEARING},
    {PHASE_WARNING, is_warning_over, NULL, PHASE_UNLOCKING},

    {PHASE_UNLOCKING, is_hand_lifted, NULL, PHASE_RAISING},
    {PHASE_UNLOCKING, is_hand_closed_again, NULL, PHASE_PROVING},
    {PHASE_UNLOCKING, may_rise, NULL, PHASE_RAISING},
    {PHASE_UNLOCKING, may_lower, NULL, PHASE_LOWERING},

    {PHASE_RAISING, is_hand_seated, forget_goal, PHASE_LOCKING},
    {PHASE_RAISING, is_open, reach_open, PHASE_OPEN},

    {PHASE_OPEN, is_hand_seated, NULL, PHASE_LOCKING},
    {PHASE_OPEN, is_hand_not_open, NULL, PHASE_LOWERING},
    {PHASE_OPEN, wants_down_trains_away, start_warning, PHASE_WARNING},
    {PHASE_OPEN, wants_down, NULL, PHASE_CLEARING},

    {PHASE_LOWERING, is_hand_seated, NULL, PHASE_LOCKING},
    {PHASE_LOWERING, is_hand_fully_open, NULL, PHASE_OPEN},
    {PHASE_LOWERING, is_driven_near_seat, start_push, PHASE_SEATING},

    {PHASE_SEATING, is_push_over, NULL, PHASE_LOCKING},

    {PHASE_LOCKING, is_hand_lifted, NULL, PHASE_RAISING},
    {PHASE_LOCKING, is_locked, NULL, PHASE_PROVING},

    {PHASE_PROVING, is_hand_lifted, NULL, PHASE_RAISING},
    {PHASE_PROVING, is_hand_unlocked, NULL, PHASE_LOCKING},
    {PHASE_PROVING, is_lined_up, reach_lined, PHASE_LINED},
};

/* Where the span is not known it creeps all the way: half as long again as that takes at best
 * (practice: 1.25 to 1.5 times the expected time; common practice, no source). */
static uint32_t longest_travel_us(const struct bridge_setup *setup,
                                  const struct motion_state *motion) {
    if (motion->is_known) {
        return setup->motion.travel_limit_us;
    }
    return (uint32_t)fmin(1.5e6 / setup->motion.creep_speed_frac_s, UINT32_MAX);
}

/* The longest time of each phase; 0: none. What a hand does takes as long as it takes. */
static uint32_t longest_us(const struct bridge_setup *setup, const struct bridge_state *state,
                           enum bridge_phase phase) {
    switch (phase) {
    case PHASE_CLEARING:
        return setup->clearing_limit_us;
    case PHASE_UNLOCKING:
        return lock_withdrawing_limit_us(setup);
    case PHASE_LOCKING:
        return lock_driving_limit_us(setup);
    case PHASE_RAISING:
    case PHASE_LOWERING:
        return setup->is_hand_lifted ? 0 : longest_travel_us(setup, &state->motion);
    case PHASE_SEATING:
        return setup->motion.seat_limit_us;
    case PHASE_PROVING:
        return setup->proof_limit_us;
    case PHASE_UNPROVED:
    case PHASE_LINED:
    case PHASE_CUTTING: /* an unproved power has its own watch in the track */
    case PHASE_WARNING:
    case PHASE_OPEN:
    case PHASE_HELD:
    case PHASE_FAULT:
    case BRIDGE_PHASES:
        break;
    }
    return 0;
}

/* From the request until the span is open, or down on its seat. */
static bool is_throttled_in(enum bridge_phase phase) {
    return phase >= PHASE_CLEARING && phase <= PHASE_SEATING && phase != PHASE_OPEN;
}

void sequence_enter(const struct bridge_setup *setup, struct bridge_state *state,
                    enum bridge_phase phase) {
    uint32_t limit_us = longest_us(setup, state, phase);
    state->phase = phase;
    state->jog = (struct jog_state){0};
    if (!is_throttled_in(phase)) {
        state->throttle = (struct throttle_state){0};
    }
    state->phase_limit = (struct watch){.is_running = limit_us > 0, .left_us = limit_us};
}

void sequence_pass_time(const struct bridge_setup *setup, struct bridge_state *state,
                        const struct sight *sight, uint32_t dt_us) {
    bool is_slower = state->throttle.share > 0 && sequence_direction(state) != 0;
    uint32_t counted_us =
        is_slower ? motion_counted_us(&setup->motion, &state->throttle, dt_us) : dt_us;
    state->phase_limit.left_us = countdown(state->phase_limit.left_us, counted_us);
    state->throttle.left_us = countdown(state->throttle.left_us, dt_us);
    state->warning_left_us = countdown(state->warning_left_us, dt_us);
    state->jog.left_us = countdown(state->jog.left_us, dt_us);
    if (sequence_is_pushing(state, sight)) {
        state->push_left_us = countdown(state->push_left_us, dt_us);
    }
    horn_step(setup, &state->horn, dt_us);
}

bool sequence_step(const struct bridge_setup *setup, struct bridge_state *state,
                   const struct sight *sight) {
    struct sequence s = {setup, state, sight};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (rows[i].from == state->phase && rows[i].when(&s)) {
            if (rows[i].then != NULL) {
                rows[i].then(&s);
            }
            sequence_enter(setup, state, rows[i].to);
            return true;
        }
    }
    return false;
}

void sequence_check_jog(struct bridge_state *state, const struct sight *sight) {
    bool is_at_end = state->jog.direction > 0 && sight->is_open;
    if (is_at_end || !interlock_may_drive(state, sight)) {
        state->jog = (struct jog_state){0};
    }
}

int sequence_direction(const struct bridge_state *state) {
    switch (state->phase) {
    case PHASE_RAISING:
        return 1;
    case PHASE_LOWERING:
    case PHASE_SEATING:
        return -1;
    case PHASE_HELD:
        return state->jog.left_us > 0 ? state->jog.direction : 0;
    case PHASE_UNPROVED:
    case PHASE_LINED:
    case PHASE_CLEARING:
    case PHASE_CUTTING:
    case PHASE_WARNING:
    case PHASE_UNLOCKING:
    case PHASE_OPEN:
    case PHASE_LOCKING:
    case PHASE_PROVING:
    case PHASE_FAULT:
    case BRIDGE_PHASES:
        break;
    }
    return 0;
}

bool sequence_is_pushing(const struct bridge_state *state, const struct sight *sight) {
    return state->phase == PHASE_SEATING && sight->is_seated;
}
