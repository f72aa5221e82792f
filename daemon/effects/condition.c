#include "effects/condition.h"

static bool is_train_seen(const struct bridge_state *state) {
    bool is_seen = false;
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        const struct track_state *track = &state->track[t];
        is_seen = is_seen || track->is_occupied;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            is_seen = is_seen || track->end[e].is_occupied;
        }
    }
    return is_seen;
}

static bool holds(const struct bridge_view *view, enum condition condition) {
    const struct bridge_state *state = &view->state;
    switch (condition) {
    case CONDITION_ALWAYS:
        return true;
    case CONDITION_HORN:
        return view->outputs.horn;
    case CONDITION_WARNING:
        return state->phase == PHASE_WARNING;
    case CONDITION_MOVING:
        return state->motion.direction != 0;
    case CONDITION_RAISING:
        return state->motion.direction > 0;
    case CONDITION_LOWERING:
        return state->motion.direction < 0;
    case CONDITION_LOCKING:
        return state->phase == PHASE_LOCKING || state->phase == PHASE_UNLOCKING;
    case CONDITION_SEATED:
        return state->contacts.seated.believed == LEVEL_ON;
    case CONDITION_LOCKED:
        return state->contacts.locked.believed == LEVEL_ON;
    case CONDITION_LINED:
        return state->phase == PHASE_LINED;
    case CONDITION_OPEN:
        return state->phase == PHASE_OPEN;
    case CONDITION_HELD:
        return state->phase == PHASE_HELD;
    case CONDITION_FAULT:
        return state->phase == PHASE_FAULT;
    case CONDITION_TRAIN:
        return is_train_seen(state);
    case CONDITION_RIVER_GREEN:
        return view->outputs.river == RIVER_GREEN;
    case CONDITION_RIVER_FLASHING:
        return view->outputs.river == RIVER_RED_FLASHING;
    case CONDITIONS:
        break;
    }
    return false;
}

condition_set condition_of(const struct bridge_view *view) {
    condition_set set = 0;
    for (unsigned i = 0; i < CONDITIONS; i++) {
        set |= holds(view, (enum condition)i) ? UINT32_C(1) << i : 0;
    }
    return set;
}

bool condition_is_met(const struct condition_wanted *wanted, condition_set holding) {
    return (holding & wanted->all) == wanted->all && (holding & wanted->none) == 0;
}
