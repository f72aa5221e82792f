#include "stand/looks.h"

#include "core/bridge.h"

#include <math.h>

static enum look look_if(bool is_so) {
    return is_so ? LOOK_STEADY : LOOK_OFF;
}

static enum look of_lined(const struct bridge_state *now) {
    if (now->phase == PHASE_UNPROVED || now->phase == PHASE_FAULT) {
        return LOOK_UNKNOWN;
    }
    bool is_on_its_way = now->goal == GOAL_DOWN || now->phase == PHASE_PROVING;
    return bridge_is_lined(now) ? LOOK_STEADY : is_on_its_way ? LOOK_SLOW : LOOK_OFF;
}

static enum look of_open(const struct bridge_setup *setup, const struct bridge_state *now) {
    switch (bridge_open_level(setup, now)) {
    case LEVEL_UNKNOWN:
        break;
    case LEVEL_OFF:
        return now->goal == GOAL_UP ? LOOK_SLOW : LOOK_OFF;
    case LEVEL_ON:
        return LOOK_STEADY;
    }
    return LOOK_UNKNOWN;
}

/* That it rests is shown by its position or by a contact at which it is; an output proves nothing.
 */
static bool is_proved_at_rest(const struct bridge_setup *setup, const struct bridge_view *view) {
    const struct bridge_contacts *contacts = &view->state.contacts;
    if (view->inputs.is_device_lost) {
        return false;
    }
    if (setup->motion.has_position) {
        return view->state.motion.is_known && isfinite(view->inputs.position_frac);
    }
    return contacts->seated.believed == LEVEL_ON || contacts->open.believed == LEVEL_ON;
}

/* Slower than that is the sensor's noise (judgement, no source). */
static bool is_measured_moving(const struct bridge_setup *setup, const struct bridge_state *now) {
    return setup->motion.has_position &&
           fabs(now->motion.measured_frac_s) > setup->motion.creep_speed_frac_s / 4;
}

static enum look of_moving(const struct bridge_setup *setup, const struct bridge_view *view) {
    if (bridge_is_moving(&view->outputs)) {
        return LOOK_STEADY;
    }
    if (!is_proved_at_rest(setup, view)) {
        return LOOK_UNKNOWN;
    }
    if (is_measured_moving(setup, &view->state)) {
        return LOOK_FAST;
    }
    bool is_going_to = view->state.goal != GOAL_NONE && view->state.phase >= PHASE_CLEARING &&
                       view->state.phase <= PHASE_SEATING;
    return is_going_to ? LOOK_SLOW : LOOK_OFF;
}

/* A detector's ON says that the section is clear. */
static enum look of_section(enum level clear, bool may_be_occupied) {
    switch (clear) {
    case LEVEL_UNKNOWN:
        break;
    case LEVEL_OFF:
        return may_be_occupied ? LOOK_STEADY : LOOK_FAST;
    case LEVEL_ON:
        return LOOK_OFF;
    }
    return LOOK_UNKNOWN;
}

/* Proceed is proved by the loss of the proof of stop; a signal without one proves nothing while it
 * should be at stop. */
static enum look of_signal(const struct track_end_setup *end, enum level at_stop, bool is_told) {
    if (!end->has_signal_proof) {
        return is_told ? LOOK_STEADY : LOOK_UNKNOWN;
    }
    switch (at_stop) {
    case LEVEL_UNKNOWN:
        break;
    case LEVEL_OFF:
        return is_told ? LOOK_STEADY : LOOK_FAST;
    case LEVEL_ON:
        return is_told ? LOOK_SLOW : LOOK_OFF;
    }
    return LOOK_UNKNOWN;
}

enum look looks_of(const struct stand_lamp *lamp, const struct bridge_setup *setup,
                   const struct bridge_view *view, const struct looks_desk *desk) {
    const struct track_inputs *track = &view->inputs.track[lamp->track];
    const struct track_end_inputs *end = &track->end[lamp->end];
    bool is_lined = bridge_is_lined(&view->state);
    switch (lamp->kind) {
    case STAND_LAMP_LINED:
        return of_lined(&view->state);
    case STAND_LAMP_MOVING:
        return of_moving(setup, view);
    case STAND_LAMP_OPEN:
        return of_open(setup, &view->state);
    case STAND_LAMP_FAULT:
        return view->state.phase == PHASE_FAULT ? LOOK_FAST : LOOK_OFF;
    case STAND_LAMP_MAY_OPERATE:
        return look_if(desk->may_operate);
    case STAND_LAMP_IS_LOCAL:
        return look_if(desk->is_local);
    case STAND_LAMP_APPROACH:
        return of_section(end->approach_clear, true);
    case STAND_LAMP_STOP_SECTION:
        return of_section(end->stop_clear, is_lined);
    case STAND_LAMP_SPAN_SECTION:
        return of_section(track->span_clear, is_lined);
    case STAND_LAMP_SIGNAL:
        return of_signal(&setup->track[lamp->track].end[lamp->end], end->signal_at_stop,
                         view->outputs.track[lamp->track].end[lamp->end].signal_proceed);
    case STAND_LAMPS:
        break;
    }
    return LOOK_UNKNOWN;
}

bool looks_is_lit(enum look look, unsigned tick) {
    switch (look) {
    case LOOK_OFF:
        break;
    case LOOK_STEADY:
        return true;
    case LOOK_SLOW:
        return tick % 8 < 4;
    case LOOK_FAST:
        return tick % 2 == 0;
    case LOOK_UNKNOWN:
        return tick == 0;
    }
    return false;
}

unsigned looks_ticks_left(enum look look, unsigned tick) {
    for (unsigned left = 1; left < LOOKS_TICKS; left++) {
        if (looks_is_lit(look, (tick + left) % LOOKS_TICKS) != looks_is_lit(look, tick)) {
            return left;
        }
    }
    return 0;
}
