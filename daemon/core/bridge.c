#include "core/bridge.h"

#include "core/asking.h"
#include "core/horn.h"
#include "core/interlock.h"
#include "core/lock.h"
#include "core/motion.h"
#include "core/sequence.h"
#include "core/timing.h"
#include "core/track.h"
#include "core/unwatched.h"

#include <math.h>
#include <string.h>

void bridge_start(const struct bridge_setup *setup, struct bridge_state *state) {
    memset(state, 0, sizeof *state);
    state->is_cut = true;
    state->is_power_wanted = true;
    track_start(setup, state);
}

/* An absent contact is never believed anything. */
static void take(struct debounced *contact, bool is_present, enum level reading,
                 uint32_t debounce_us, struct lapse lapse) {
    if (is_present) {
        debounce_step(contact, reading, debounce_us, lapse);
    }
}

static void observe_contacts(const struct bridge_setup *setup, struct bridge_contacts *contacts,
                             const struct bridge_inputs *inputs, struct lapse lapse) {
    uint32_t hold_us = setup->debounce_us;
    take(&contacts->seated, true, inputs->seated, hold_us, lapse);
    take(&contacts->locked, setup->has_locked, inputs->locked, hold_us, lapse);
    take(&contacts->withdrawn, setup->has_withdrawn, inputs->withdrawn, hold_us, lapse);
    take(&contacts->open, setup->has_open, inputs->open, hold_us, lapse);
    take(&contacts->nearly_seated, setup->has_nearly_seated, inputs->nearly_seated, hold_us, lapse);
    take(&contacts->nearly_open, setup->has_nearly_open, inputs->nearly_open, hold_us, lapse);
    take(&contacts->within_travel, setup->has_overtravel, inputs->within_travel, hold_us, lapse);
    for (unsigned i = 0; i < setup->rails; i++) {
        take(&contacts->rail[i], true, inputs->rail[i], hold_us, lapse);
    }
}

/* Where the span must rest, wherever it is. */
static bool is_held_still(const struct bridge_state *state) {
    return state->phase == PHASE_OPEN || state->phase == PHASE_HELD ||
           state->phase == PHASE_CLEARING || state->phase == PHASE_CUTTING ||
           state->phase == PHASE_WARNING;
}

/* Lift or lock went on by themselves, and nobody looked. */
static bool is_late_while_driven(const struct bridge_state *state, struct lapse lapse) {
    bool is_driven = state->motion.direction != 0 || state->lock.put_out != LOCK_DRIVE_REST;
    return is_driven && lapse_is_gap(lapse);
}

/* The first thing wrong in this step. All watches run in every step, whatever else is wrong. */
static enum bridge_fault find_fault(const struct bridge_setup *setup, struct bridge_state *state,
                                    const struct bridge_inputs *inputs, const struct sight *sight,
                                    enum bridge_fault standing, struct lapse lapse) {
    const struct motion_duty duty = {.is_pushing = sequence_is_pushing(state, sight),
                                     .is_held_still = is_held_still(state),
                                     .is_jogged = state->phase == PHASE_HELD,
                                     .is_throttled = state->throttle.share > 0};
    enum bridge_fault moving =
        motion_watch(setup, &state->motion, &state->contacts, inputs, &duty, lapse.us);
    if (standing != FAULT_NONE) {
        return standing;
    }
    if (is_late_while_driven(state, lapse)) {
        return FAULT_LATE;
    }
    enum bridge_fault in_phase = interlock_phase_fault(setup, state, sight);
    return in_phase != FAULT_NONE ? in_phase : moving;
}

static double lift_command(const struct bridge_setup *setup, struct bridge_state *state,
                           const struct sight *sight, uint32_t dt_us) {
    bool may_drive = !setup->is_hand_lifted && interlock_may_drive(state, sight);
    int direction = may_drive ? sequence_direction(state) : 0;
    if (direction != 0 && state->phase == PHASE_HELD) {
        return motion_creep(&setup->motion, &state->motion, direction, state->jog.effort_most,
                            dt_us);
    }
    double effort =
        direction != 0 && state->throttle.share > 0
            ? motion_follow(&setup->motion, &state->motion, direction, &state->throttle, dt_us)
            : motion_command(&setup->motion, &state->motion, direction, dt_us);
    return direction != 0 && sequence_is_pushing(state, sight) ? -setup->motion.effort_push
                                                               : effort;
}

/* Green only fully open and at rest (33 CFR 118.80, from memory); flashing red from the warning
 * until it is down or open again (33 CFR 117.313 and 117.291 as models). */
static enum river_lights river_command(const struct bridge_state *state) {
    switch (state->phase) {
    case PHASE_OPEN:
        return RIVER_GREEN;
    case PHASE_WARNING:
        return state->goal == GOAL_DOWN ? RIVER_RED_FLASHING : RIVER_RED;
    case PHASE_LOWERING:
    case PHASE_SEATING:
        return RIVER_RED_FLASHING;
    case PHASE_UNPROVED:
    case PHASE_LINED:
    case PHASE_CLEARING:
    case PHASE_CUTTING:
    case PHASE_UNLOCKING:
    case PHASE_RAISING:
    case PHASE_LOCKING:
    case PHASE_PROVING:
    case PHASE_HELD:
    case PHASE_FAULT:
    case BRIDGE_PHASES:
        break;
    }
    return RIVER_RED;
}

static void command(const struct bridge_setup *setup, struct bridge_state *state,
                    const struct bridge_inputs *inputs, const struct sight *sight, uint32_t dt_us,
                    struct bridge_outputs *outputs) {
    memset(outputs, 0, sizeof *outputs);
    outputs->lift_effort = lift_command(setup, state, sight, dt_us);
    outputs->brake_released = outputs->lift_effort != 0;
    outputs->lock = interlock_lock_command(setup, state, sight);
    lock_put_out(setup, state, outputs->lock);
    outputs->horn = horn_sounds(&state->horn) || state->is_horn_asked;
    outputs->river = river_command(state);

    bool may_power = interlock_may_power(state, sight) && state->is_power_wanted && !state->is_cut;
    track_command(setup, state, inputs, may_power, interlock_may_clear_signals(state, sight),
                  outputs);
    unwatched_command(setup, state);
}

enum bridge_answer bridge_step(const struct bridge_setup *setup, struct bridge_state *state,
                               const struct bridge_inputs *inputs,
                               const struct bridge_request *request, uint32_t dt_us,
                               struct bridge_outputs *outputs) {
    struct lapse lapse = lapse_of(dt_us, inputs->late_us);
    observe_contacts(setup, &state->contacts, inputs, lapse);
    lock_observe(setup, state, lapse);
    track_observe(setup, state, inputs, lapse);
    unwatched_observe(setup, state, inputs, lapse);
    motion_observe(&setup->motion, &state->motion, &state->contacts, inputs, dt_us);
    struct sight sight = interlock_look(setup, state, inputs);
    if (!interlock_is_span_proved(&sight)) {
        state->is_cut = true; /* once gone, power waits for the next proof of the whole (S2) */
    }

    sequence_pass_time(setup, state, &sight, dt_us);
    enum bridge_fault standing = interlock_standing_fault(setup, state, inputs, &sight);
    enum bridge_fault fault = find_fault(setup, state, inputs, &sight, standing, lapse);
    if (fault != FAULT_NONE) {
        asking_latch_fault(setup, state, fault);
    }
    enum bridge_answer answer = asking_step(setup, state, request, &sight, fault);
    /* The word acts in the step in which it is given; and an acknowledgment forgets the bar. */
    if (request->kind == REQUEST_SEEN_CLEAR || request->kind == REQUEST_ACKNOWLEDGE) {
        sight = interlock_look(setup, state, inputs);
    }
    sequence_step(setup, state, &sight);
    sequence_check_jog(state, &sight);
    command(setup, state, inputs, &sight, dt_us, outputs);
    return answer;
}

static uint32_t contacts_wake_us(const struct bridge_setup *setup,
                                 const struct bridge_contacts *contacts) {
    const struct debounced *const all[] = {
        &contacts->seated,      &contacts->locked,        &contacts->withdrawn,     &contacts->open,
        &contacts->nearly_open, &contacts->nearly_seated, &contacts->within_travel,
    };
    uint32_t wake_us = UINT32_MAX;
    for (unsigned i = 0; i < sizeof all / sizeof all[0]; i++) {
        wake_us = sooner_us(wake_us, debounce_wake_us(all[i]));
    }
    for (unsigned i = 0; i < setup->rails; i++) {
        wake_us = sooner_us(wake_us, debounce_wake_us(&contacts->rail[i]));
    }
    return wake_us;
}

/* The time until something next comes by itself. */
static uint32_t next_us(const struct bridge_setup *setup, const struct bridge_state *state) {
    uint32_t wake_us = state->motion.direction != 0 ? (uint32_t)MOTION_PERIOD_US : UINT32_MAX;
    wake_us = sooner_us(wake_us, contacts_wake_us(setup, &state->contacts));
    wake_us = sooner_us(wake_us, lock_wake_us(state));
    wake_us = sooner_us(wake_us, track_wake_us(setup, state));
    wake_us = sooner_us(wake_us, unwatched_wake_us(setup, state));
    wake_us = sooner_us(wake_us, watch_wake_us(&state->phase_limit));
    wake_us = sooner_us(wake_us, countdown_wake_us(state->warning_left_us));
    wake_us = sooner_us(wake_us, countdown_wake_us(state->motion.settle_us));
    wake_us = sooner_us(wake_us, countdown_wake_us(state->jog.left_us));
    wake_us = sooner_us(wake_us, countdown_wake_us(state->throttle.left_us));
    return sooner_us(wake_us, countdown_wake_us(state->horn.left_us));
}

uint32_t bridge_wake_us(const struct bridge_setup *setup, const struct bridge_state *state) {
    uint32_t wake_us = next_us(setup, state);
    return wake_us == UINT32_MAX ? wake_us : sooner_us(wake_us, LOOK_PERIOD_US);
}

bool bridge_is_lined(const struct bridge_state *state) {
    return state->phase == PHASE_LINED;
}

bool bridge_is_moving(const struct bridge_outputs *outputs) {
    return outputs->lift_effort != 0;
}

bool bridge_is_slowed(const struct bridge_setup *setup, const struct bridge_state *state) {
    int direction = state->motion.direction;
    return state->throttle.share > 0 && direction != 0 &&
           motion_is_slowed(&setup->motion, &state->motion, direction, &state->throttle);
}

double bridge_speed_frac_s(const struct bridge_setup *setup, const struct bridge_state *state,
                           const struct bridge_outputs *outputs) {
    if (!bridge_is_moving(outputs)) {
        return 0;
    }
    return setup->motion.has_position ? state->motion.measured_frac_s
                                      : copysign(state->motion.speed_frac_s, outputs->lift_effort);
}

bool bridge_is_position_known(const struct bridge_setup *setup, const struct bridge_state *state) {
    bool is_at_an_end =
        debounce_is_on(&state->contacts.seated) || debounce_is_on(&state->contacts.open);
    return state->motion.is_known && (!setup->is_hand_lifted || is_at_an_end);
}

enum level bridge_open_level(const struct bridge_setup *setup, const struct bridge_state *state) {
    if (setup->has_open) {
        return state->contacts.open.believed;
    }
    if (!state->motion.is_known) {
        return LEVEL_UNKNOWN;
    }
    double open_frac = 1 - setup->motion.position_tolerance_frac;
    return state->motion.position_frac >= open_frac ? LEVEL_ON : LEVEL_OFF;
}

bool bridge_holds_span(const struct bridge_state *state) {
    return state->phase == PHASE_FAULT || state->phase == PHASE_UNPROVED ||
           state->phase == PHASE_CLEARING || state->phase == PHASE_CUTTING;
}

bool bridge_holds_signal(const struct bridge_state *state, unsigned track, unsigned end) {
    const struct track_end_state *held = &state->track[track].end[end];
    return !held->shows_proceed && (held->approach_lock_us > 0 || !bridge_is_lined(state));
}
