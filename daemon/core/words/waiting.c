/* What the bridge waits for: told to people, never used to decide. */
#include "core/bridge.h"
#include "core/timing.h"
#include "core/track.h"
#include "core/unwatched.h"

static struct bridge_waiting at(enum bridge_wait what, struct track_place where) {
    return (struct bridge_waiting){what, where.track, where.end};
}

static struct bridge_waiting only(enum bridge_wait what) {
    return (struct bridge_waiting){what, 0, 0};
}

static struct bridge_waiting waiting_for_trains(const struct bridge_setup *setup,
                                                const struct bridge_state *state,
                                                const struct bridge_inputs *inputs) {
    struct track_place where = {0, 0};
    if (!track_all_signals_at_stop(setup, state, inputs, &where)) {
        return at(WAIT_SIGNAL_PROOF, where);
    }
    if (!track_all_span_clear(setup, state, &where)) {
        return at(WAIT_SPAN_SECTION, where);
    }
    if (!track_all_stop_clear(setup, state, &where)) {
        return at(WAIT_STOP_SECTION, where);
    }
    if (!track_all_released(setup, state, &where)) {
        return at(WAIT_APPROACH_LOCK, where);
    }
    if (!unwatched_all_timed_out(setup, state, &where)) {
        bool will_do = unwatched_will_time_do(setup, state, inputs, where.track);
        return at(will_do ? WAIT_RUN_OUT : WAIT_SEEN_CLEAR, where);
    }
    return only(WAIT_NONE);
}

/* Only the person at the bridge can do it. */
static struct bridge_waiting waiting_for_unlock(const struct bridge_setup *setup,
                                                const struct bridge_inputs *inputs) {
    bool is_locked = setup->has_locked && inputs->locked == LEVEL_ON;
    if (!setup->has_lock_drive && is_locked) {
        return only(WAIT_HAND_UNLOCK);
    }
    if (!setup->has_lock && !setup->is_hand_lifted) {
        return only(WAIT_TRAVEL);
    }
    return only(setup->is_hand_lifted ? WAIT_HAND_TRAVEL : WAIT_LOCK_WITHDRAWN);
}

/* Without a bar the seat alone locks. */
static struct bridge_waiting waiting_for_lock(const struct bridge_setup *setup) {
    if (!setup->has_lock) {
        return only(WAIT_SEATED);
    }
    return only(setup->has_lock_drive ? WAIT_LOCKED : WAIT_HAND_LOCK);
}

static bool is_signal_awaited(const struct track_setup *setup, const struct track_state *track) {
    bool is_awaited = false;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        is_awaited = is_awaited || (setup->end[e].is_used && track->end[e].is_proceed_wanted &&
                                    !track->end[e].shows_proceed);
    }
    return is_awaited;
}

/* A signal that is wanted at proceed, by whoever asked or because it is automatic, waits for its
 * track. One that waits for an oncoming train is nothing to tell: everybody sees the train. */
static struct bridge_waiting waiting_for_signals(const struct bridge_setup *setup,
                                                 const struct bridge_state *state) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        const struct track_state *track = &state->track[t];
        if (!is_signal_awaited(&setup->track[t], track)) {
            continue;
        }
        if (!watch_has_expired(&track->span_clear)) {
            return at(WAIT_SPAN_SECTION, (struct track_place){t, 0});
        }
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (setup->track[t].end[e].is_used && !watch_has_expired(&track->end[e].stop_clear)) {
                return at(WAIT_STOP_SECTION, (struct track_place){t, e});
            }
        }
    }
    return only(WAIT_NONE);
}

static struct bridge_waiting waiting_while_lined(const struct bridge_setup *setup,
                                                 const struct bridge_state *state,
                                                 const struct bridge_inputs *inputs) {
    struct track_place where = {0, 0};
    if (!track_all_live(setup, state, inputs, &where)) {
        return at(WAIT_POWER, where);
    }
    if (!state->is_power_wanted) {
        return only(WAIT_POWER_REQUEST);
    }
    return waiting_for_signals(setup, state);
}

struct bridge_waiting bridge_waiting(const struct bridge_setup *setup,
                                     const struct bridge_state *state,
                                     const struct bridge_inputs *inputs) {
    struct track_place where = {0, 0};
    switch (state->phase) {
    case PHASE_UNPROVED:
        return only(WAIT_PLACE);
    case PHASE_LINED:
        return waiting_while_lined(setup, state, inputs);
    case PHASE_CLEARING:
        return waiting_for_trains(setup, state, inputs);
    case PHASE_CUTTING:
        track_all_dead(setup, state, inputs, &where);
        return at(WAIT_POWER_PROOF, where);
    case PHASE_WARNING:
        return only(WAIT_WARNING);
    case PHASE_UNLOCKING:
        return waiting_for_unlock(setup, inputs);
    case PHASE_RAISING:
    case PHASE_LOWERING:
        return only(setup->is_hand_lifted ? WAIT_HAND_TRAVEL : WAIT_TRAVEL);
    case PHASE_SEATING:
        return only(WAIT_SEATED);
    case PHASE_LOCKING:
        return waiting_for_lock(setup);
    case PHASE_PROVING:
        return track_all_signals_at_stop(setup, state, inputs, &where)
                   ? only(WAIT_RAILS)
                   : at(WAIT_SIGNAL_PROOF, where);
    case PHASE_HELD:
        return only(WAIT_REQUEST);
    case PHASE_FAULT:
        return only(WAIT_ACKNOWLEDGMENT);
    case PHASE_OPEN:
    case BRIDGE_PHASES:
        break;
    }
    return only(WAIT_NONE);
}
