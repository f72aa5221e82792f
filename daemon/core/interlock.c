#include "core/interlock.h"

#include "core/lock.h"
#include "core/motion.h"
#include "core/timing.h"
#include "core/track.h"
#include "core/unwatched.h"

#include <math.h>

static bool is_off(const struct debounced *contact) {
    return contact->believed == LEVEL_OFF;
}

static bool is_known(bool is_present, const struct debounced *contact) {
    return !is_present || contact->believed != LEVEL_UNKNOWN;
}

static bool are_contacts_known(const struct bridge_setup *setup,
                               const struct bridge_contacts *contacts) {
    for (unsigned i = 0; i < setup->rails; i++) {
        if (!is_known(true, &contacts->rail[i])) {
            return false;
        }
    }
    return is_known(true, &contacts->seated) && is_known(setup->has_locked, &contacts->locked) &&
           is_known(setup->has_nearly_seated, &contacts->nearly_seated) &&
           is_known(setup->has_open, &contacts->open) &&
           is_known(setup->has_nearly_open, &contacts->nearly_open) &&
           is_known(setup->has_overtravel, &contacts->within_travel) &&
           is_known(setup->has_withdrawn, &contacts->withdrawn);
}

static bool are_measures_known(const struct motion_setup *setup,
                               const struct bridge_inputs *inputs) {
    return (!setup->has_position || isfinite(inputs->position_frac)) &&
           (!setup->has_current || isfinite(inputs->current_a));
}

static bool are_rails_proved(const struct bridge_setup *setup,
                             const struct bridge_contacts *contacts) {
    for (unsigned i = 0; i < setup->rails; i++) {
        if (!debounce_is_on(&contacts->rail[i])) {
            return false;
        }
    }
    return true;
}

struct sight interlock_look(const struct bridge_setup *setup, const struct bridge_state *state,
                            const struct bridge_inputs *inputs) {
    const struct bridge_contacts *contacts = &state->contacts;
    struct track_place where;
    bool are_detectors_clear =
        track_all_stop_clear(setup, state, &where) && track_all_span_clear(setup, state, &where);
    return (struct sight){
        .are_inputs_known = are_contacts_known(setup, contacts) &&
                            are_measures_known(&setup->motion, inputs) &&
                            track_inputs_known(setup, state, inputs),
        .is_seated = debounce_is_on(&contacts->seated),
        .is_locked = lock_is_locked(setup, state),
        .is_withdrawn = lock_is_withdrawn(setup, state),
        .is_open = motion_is_open(setup, &state->motion, contacts),
        .are_rails_proved = are_rails_proved(setup, contacts),
        .are_signals_at_stop = track_all_signals_at_stop(setup, state, inputs, &where),
        .is_released = track_all_released(setup, state, &where),
        .are_detectors_clear = are_detectors_clear,
        .are_sections_clear = are_detectors_clear && unwatched_all_run_out(setup, state),
        .are_sections_dead = track_all_dead(setup, state, inputs, &where),
        .is_occupied = track_is_occupied(setup, state),
    };
}

bool interlock_is_span_proved(const struct sight *sight) {
    return sight->is_seated && sight->is_locked && sight->are_rails_proved;
}

bool interlock_may_power(const struct bridge_state *state, const struct sight *sight) {
    return state->phase != PHASE_FAULT && sight->is_seated && sight->is_locked;
}

bool interlock_may_clear_signals(const struct bridge_state *state, const struct sight *sight) {
    return state->phase == PHASE_LINED && state->motion.direction == 0 &&
           interlock_is_span_proved(sight);
}

bool interlock_may_withdraw(const struct bridge_state *state, const struct sight *sight) {
    return state->phase != PHASE_FAULT && sight->are_signals_at_stop && sight->is_released &&
           sight->are_sections_clear && sight->are_sections_dead;
}

bool interlock_may_drive(const struct bridge_state *state, const struct sight *sight) {
    return interlock_may_withdraw(state, sight) && sight->is_withdrawn;
}

bool interlock_may_lock(const struct bridge_state *state, const struct sight *sight) {
    return state->phase != PHASE_FAULT && sight->is_seated;
}

enum lock_drive interlock_lock_command(const struct bridge_setup *setup,
                                       const struct bridge_state *state,
                                       const struct sight *sight) {
    if (!setup->has_lock_drive) {
        return LOCK_DRIVE_REST;
    }
    if (state->phase == PHASE_UNLOCKING && !sight->is_withdrawn &&
        interlock_may_withdraw(state, sight)) {
        return LOCK_DRIVE_WITHDRAWN;
    }
    if (state->phase == PHASE_LOCKING && !sight->is_locked && interlock_may_lock(state, sight)) {
        return LOCK_DRIVE_DRIVEN;
    }
    return LOCK_DRIVE_REST;
}

/* S5: two contacts, or a contact and the measured position, that cannot both be right. A position
 * that was never read says nothing yet. */
static bool is_contradictory(const struct bridge_setup *setup, const struct bridge_state *state) {
    const struct bridge_contacts *contacts = &state->contacts;
    const struct motion_setup *motion = &setup->motion;
    double position = state->motion.position_frac;
    bool is_measured = motion->has_position && state->motion.is_known;
    bool is_far_from_seat = is_measured && fabs(position) > motion->position_tolerance_frac;
    bool is_far_from_open = is_measured && fabs(position - 1) > motion->position_tolerance_frac;

    return (debounce_is_on(&contacts->seated) &&
            (debounce_is_on(&contacts->open) || debounce_is_on(&contacts->nearly_open) ||
             is_off(&contacts->nearly_seated) || is_far_from_seat)) ||
           (debounce_is_on(&contacts->open) &&
            (debounce_is_on(&contacts->nearly_seated) || is_off(&contacts->nearly_open) ||
             is_far_from_open)) ||
           (debounce_is_on(&contacts->nearly_seated) && debounce_is_on(&contacts->nearly_open)) ||
           (debounce_is_on(&contacts->locked) &&
            (debounce_is_on(&contacts->withdrawn) || is_off(&contacts->seated)));
}

/* From the withdrawal of the lock on the span counts as gone, whatever its seat still says: where
 * there is no bar the seat is all that says it. */
static bool is_moved(enum bridge_phase phase) {
    return phase == PHASE_UNLOCKING || phase == PHASE_RAISING || phase == PHASE_LOWERING ||
           phase == PHASE_SEATING;
}

/* S8: a train on a stop or span section though the span is not lined under it: as far as there are
 * detectors. What else keeps trains away is that those sections are dead (S2). */
static bool is_overrun(const struct bridge_state *state, const struct sight *sight) {
    bool is_span_held = sight->is_seated && sight->is_locked && !is_moved(state->phase);
    return sight->is_occupied && !is_span_held && state->phase != PHASE_UNPROVED;
}

enum bridge_fault interlock_standing_fault(const struct bridge_setup *setup,
                                           const struct bridge_state *state,
                                           const struct bridge_inputs *inputs,
                                           const struct sight *sight) {
    /* A stop that is read as pressed is one, whatever else is wrong: it keeps the trains, too. */
    if (setup->has_stop_circuit && inputs->stop_circuit == LEVEL_OFF) {
        return FAULT_STOP_CIRCUIT;
    }
    if (inputs->is_device_lost) { /* before all that it takes with it: its inputs' readings */
        return FAULT_DEVICE_LOST;
    }
    if (setup->has_stop_circuit && inputs->stop_circuit != LEVEL_ON) {
        return FAULT_STOP_CIRCUIT;
    }
    /* Before the first readings are in there is nothing to lose. */
    if (!sight->are_inputs_known && state->phase != PHASE_UNPROVED) {
        return FAULT_INPUT_LOST;
    }
    if (is_contradictory(setup, state)) {
        return FAULT_CONTRADICTION;
    }
    if (is_overrun(state, sight)) {
        return FAULT_OVERRUN;
    }
    if (track_signal_failed(setup, state)) {
        return FAULT_SIGNAL_UNPROVED;
    }
    return track_power_failed(setup, state) ? FAULT_POWER_UNPROVED : FAULT_NONE;
}

/* S3 in every step of a movement: the first of its conditions that is gone. */
static enum bridge_fault drive_fault(const struct sight *sight) {
    if (!sight->are_signals_at_stop) {
        return FAULT_SIGNAL_UNPROVED;
    }
    if (!sight->are_sections_dead) {
        return FAULT_POWER_UNPROVED;
    }
    return sight->is_withdrawn ? FAULT_NONE : FAULT_LOCK_UNPROVED;
}

static enum bridge_fault driven_fault(const struct bridge_state *state, const struct sight *sight,
                                      enum bridge_fault too_long) {
    enum bridge_fault fault = drive_fault(sight);
    if (fault != FAULT_NONE) {
        return fault;
    }
    return watch_has_expired(&state->phase_limit) ? too_long : FAULT_NONE;
}

/* Approach locking had released; it holds the bar again only where a signal was not proved. */
static enum bridge_fault unlocking_fault(const struct bridge_state *state,
                                         const struct sight *sight) {
    if (!watch_has_expired(&state->phase_limit)) {
        return FAULT_NONE;
    }
    return sight->is_released ? FAULT_LOCK_UNPROVED : FAULT_SIGNAL_UNPROVED;
}

/* A powered span that leaves its seat or lock where it must stay. A hand-lifted one may: it is its
 * way of telling that it is being lifted. */
static enum bridge_fault resting_fault(const struct bridge_setup *setup,
                                       const struct bridge_state *state, bool is_proved,
                                       enum bridge_fault too_long) {
    if (!is_proved && !setup->is_hand_lifted) {
        return FAULT_PROOF_LOST;
    }
    return watch_has_expired(&state->phase_limit) ? too_long : FAULT_NONE;
}

/* Signals have watches of their own: only the rails are left to be waited for. */
static enum bridge_fault proving_fault(const struct bridge_setup *setup,
                                       const struct bridge_state *state,
                                       const struct sight *sight) {
    return resting_fault(setup, state, sight->is_seated && sight->is_locked,
                         sight->are_rails_proved ? FAULT_NONE : FAULT_RAILS_UNPROVED);
}

enum bridge_fault interlock_phase_fault(const struct bridge_setup *setup,
                                        const struct bridge_state *state,
                                        const struct sight *sight) {
    switch (state->phase) {
    case PHASE_LINED:
        return resting_fault(setup, state, interlock_is_span_proved(sight), FAULT_PROOF_LOST);
    case PHASE_PROVING:
        return proving_fault(setup, state, sight);
    case PHASE_LOCKING:
        return resting_fault(setup, state, sight->is_seated, FAULT_LOCK_UNPROVED);
    case PHASE_UNLOCKING:
        return unlocking_fault(state, sight);
    case PHASE_RAISING:
    case PHASE_LOWERING:
        return setup->is_hand_lifted ? FAULT_NONE : driven_fault(state, sight, FAULT_TRAVEL_TIME);
    case PHASE_SEATING:
        return driven_fault(state, sight, FAULT_SEAT_TIME);
    case PHASE_OPEN:
        return sight->is_open || setup->is_hand_lifted ? FAULT_NONE : FAULT_DRIFT;
    case PHASE_UNPROVED:
    case PHASE_CLEARING:
    case PHASE_CUTTING:
    case PHASE_WARNING:
    case PHASE_HELD:
    case PHASE_FAULT:
    case BRIDGE_PHASES:
        break;
    }
    return FAULT_NONE;
}
