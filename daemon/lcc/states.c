#include "lcc/states.h"

#include "core/bridge.h"

static enum lcc_truth truth_of(bool is_so) {
    return is_so ? LCC_TRUE : LCC_FALSE;
}

static enum lcc_truth of_level(enum level level) {
    switch (level) {
    case LEVEL_UNKNOWN:
        break;
    case LEVEL_OFF:
        return LCC_FALSE;
    case LEVEL_ON:
        return LCC_TRUE;
    }
    return LCC_UNKNOWN;
}

/* A detector's ON says that the section is clear. */
static enum lcc_truth of_occupied(enum level clear) {
    switch (clear) {
    case LEVEL_UNKNOWN:
        break;
    case LEVEL_OFF:
        return LCC_TRUE;
    case LEVEL_ON:
        return LCC_FALSE;
    }
    return LCC_UNKNOWN;
}

/* An output that may have a proof of its safe value: proved safe is safe; put out safe, and not
 * proved so, is not known. */
static enum lcc_truth of_output(bool is_on, bool has_proof, enum level safe) {
    if (has_proof && safe == LEVEL_ON) {
        return LCC_FALSE;
    }
    return is_on ? LCC_TRUE : has_proof ? LCC_UNKNOWN : LCC_FALSE;
}

enum lcc_truth states_truth(const struct lcc_state_setup *state, const struct bridge_setup *setup,
                            const struct bridge_view *view) {
    const struct bridge_state *now = &view->state;
    const struct track_setup *track = &setup->track[state->track];
    const struct track_end_setup *end = &track->end[state->end];
    const struct track_inputs *track_in = &view->inputs.track[state->track];
    const struct track_end_inputs *end_in = &track_in->end[state->end];
    const struct track_outputs *track_out = &view->outputs.track[state->track];
    const struct track_end_outputs *end_out = &track_out->end[state->end];
    switch (state->what) {
    case LCC_STATE_LINED:
        return now->phase == PHASE_UNPROVED ? LCC_UNKNOWN : truth_of(bridge_is_lined(now));
    case LCC_STATE_MOVING:
        return truth_of(bridge_is_moving(&view->outputs));
    case LCC_STATE_OPEN:
        return of_level(bridge_open_level(setup, now));
    case LCC_STATE_FAULT:
        return truth_of(now->phase == PHASE_FAULT);
    case LCC_STATE_SEATED:
        return of_level(now->contacts.seated.believed);
    case LCC_STATE_LOCKED:
        return of_level(now->contacts.locked.believed);
    case LCC_STATE_GOAL_UP:
        return truth_of(now->goal == GOAL_UP);
    case LCC_STATE_GOAL_DOWN:
        return truth_of(now->goal == GOAL_DOWN);
    case LCC_STATE_PROCEED:
        return of_output(end_out->signal_proceed, end->has_signal_proof, end_in->signal_at_stop);
    case LCC_STATE_APPROACH:
        return of_occupied(end_in->approach_clear);
    case LCC_STATE_STOP_SECTION:
        return of_occupied(end_in->stop_clear);
    case LCC_STATE_STOP_POWER:
        return of_output(end_out->stop_power, end->has_stop_power_proof, end_in->stop_dead);
    case LCC_STATE_SPAN_SECTION:
        return of_occupied(track_in->span_clear);
    case LCC_STATE_SPAN_POWER:
        return of_output(track_out->span_power, track->has_span_power_proof, track_in->span_dead);
    case LCC_STATES:
        break;
    }
    return LCC_UNKNOWN;
}
