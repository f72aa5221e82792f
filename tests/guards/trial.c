#include "guards/trial.h"

#include "support/check.h"

#include <math.h>

static const double hand_frac_s = 0.2;

static bool is_without_detector(const struct track_end_setup *end) {
    return end->is_used && !end->has_stop_detector;
}

/* What keeps a train off a span section without a detector: the detectors of all stop sections, or
 * that those without one are dead. */
static void lie_of_neighbours(struct trial *trial, struct track_inputs *in) {
    const struct track_setup *track = &trial->puppet.setup.track[trial->row->track];
    bool are_dead = is_without_detector(&track->end[0]) || is_without_detector(&track->end[1]);
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        if (are_dead && is_without_detector(&track->end[e])) {
            in->end[e].stop_dead = LEVEL_OFF;
        } else if (!are_dead) {
            in->end[e].stop_clear = LEVEL_OFF;
        }
    }
}

static void lie_of_open(struct trial *trial, struct bridge_inputs *in) {
    if (trial->puppet.setup.has_open) {
        in->open = LEVEL_OFF;
    } else {
        in->position_frac = fmin(in->position_frac, 0.9);
    }
}

static void lie_of_lock(const struct bridge_setup *setup, struct bridge_inputs *in) {
    if (setup->has_lock && setup->has_locked) {
        in->locked = LEVEL_OFF;
    } else {
        in->seated = LEVEL_OFF;
    }
}

static void lie_of_rails(const struct bridge_setup *setup, struct bridge_inputs *in) {
    if (setup->rails > 0) {
        in->rail[0] = LEVEL_OFF;
    } else {
        in->seated = LEVEL_OFF;
    }
}

static void lie(struct trial *trial) {
    struct bridge_inputs *in = &trial->puppet.inputs;
    const struct bridge_setup *setup = &trial->puppet.setup;
    struct track_inputs *track = &in->track[trial->row->track];
    struct track_end_inputs *end = &track->end[trial->row->end];
    switch (trial->row->thing) {
    case GUARD_SIGNAL:
        end->signal_at_stop = LEVEL_OFF;
        break;
    case GUARD_APPROACH:
        end->approach_clear = LEVEL_OFF;
        break;
    case GUARD_STOP_DEAD:
    case GUARD_STOP_COMES:
        end->stop_dead = LEVEL_OFF;
        break;
    case GUARD_SPAN_DEAD:
        track->span_dead = LEVEL_OFF;
        break;
    case GUARD_STOP_TRAINS:
        end->stop_clear = LEVEL_OFF;
        break;
    case GUARD_SPAN_TRAINS:
        track->span_clear = LEVEL_OFF;
        break;
    case GUARD_SPAN_COMES:
        lie_of_neighbours(trial, track);
        break;
    case GUARD_SEATED:
        in->seated = LEVEL_OFF;
        break;
    case GUARD_SEAT_STICKS:
        in->seated = LEVEL_ON;
        break;
    case GUARD_LOCKED:
        lie_of_lock(setup, in);
        break;
    case GUARD_RAILS:
        lie_of_rails(setup, in);
        break;
    case GUARD_WITHDRAWN:
        in->withdrawn = LEVEL_OFF;
        break;
    case GUARD_OPEN:
    case GUARD_OPEN_FAILS:
        lie_of_open(trial, in);
        break;
    case GUARD_STOP:
        in->stop_circuit = LEVEL_OFF;
        break;
    case GUARD_STOP_LEFT:
    case GUARD_STOP_FREE:
    case GUARD_SPAN_LEFT:
    case GUARD_SPAN_FREE:
    case GUARD_HAND_LOCK:
    case GUARD_HAND_LIFT:
    case GUARD_BLOCKED:
    case GUARD_PLACE:
    case GUARD_THINGS:
        break;
    }
}

/* After the ideal world has shown itself: rails that meet only under a seated span, a span that
 * comes up against something, and the lie. */
static void meddle(struct puppet *p) {
    struct trial *trial = (struct trial *)p;
    for (unsigned i = 0; i < BRIDGE_RAILS_MAX; i++) {
        p->inputs.rail[i] = p->span_frac <= 0.005 ? LEVEL_ON : LEVEL_OFF;
    }
    if (p->outputs.lift_effort > 0 && p->span_frac >= trial->blocked_frac) {
        p->inputs.current_a = p->setup.motion.stall_a + 1;
    }
    if (trial->is_lied_to) {
        lie(trial);
    }
}

void trial_start(struct trial *trial, const struct bridge_setup *setup,
                 const struct guard_row *row) {
    *trial = (struct trial){.row = row,
                            .asks_proceed = true,
                            .gives_word = true,
                            .works_by_hand = true,
                            .blocked_frac = INFINITY};
    puppet_start(&trial->puppet, setup);
    trial->puppet.meddle = meddle;
}

/* ---- time */

static void note(struct trial *trial) {
    const struct bridge_outputs *out = &trial->puppet.outputs;
    trial->has_been_driven = trial->has_been_driven || out->lift_effort != 0;
    for (unsigned t = 0; t < trial->puppet.setup.tracks; t++) {
        bool has_power = out->track[t].span_power;
        bool is_proceed = false;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            has_power = has_power || out->track[t].end[e].stop_power;
            is_proceed = is_proceed || out->track[t].end[e].signal_proceed;
        }
        trial->has_shown_proceed = trial->has_shown_proceed || is_proceed;
        trial->was_let_on = trial->was_let_on || is_proceed || has_power;
    }
}

enum bridge_answer trial_ask(struct trial *trial, enum bridge_request_kind kind) {
    enum bridge_answer answer = puppet_ask(&trial->puppet, kind, 0);
    note(trial);
    return answer;
}

bool trial_waits_for(const struct trial *trial, enum bridge_wait what) {
    const struct puppet *p = &trial->puppet;
    return bridge_waiting(&p->setup, &p->state, &p->inputs).what == what;
}

/* Bar and span, where the bridge says that a hand may. */
static void work_by_hand(struct trial *trial) {
    struct puppet *p = &trial->puppet;
    double way_frac = hand_frac_s * TRIAL_STEP_US / 1e6;
    if (p->state.phase == PHASE_UNLOCKING && !p->setup.has_lock_drive) {
        p->lock_frac = 0;
    }
    if (p->state.phase == PHASE_LOCKING && !p->setup.has_lock_drive && p->span_frac <= 0) {
        p->lock_frac = 1;
    }
    if (!p->setup.is_hand_lifted || p->lock_frac > 0) {
        return;
    }
    if (trial->is_hand_lowering) {
        p->span_frac = fmax(p->span_frac - way_frac, 0);
    } else if (p->state.phase != PHASE_FAULT) {
        p->span_frac = fmin(p->span_frac + way_frac, 1);
    }
}

static enum bridge_request_kind word_of(const struct trial *trial) {
    bool is_wanted =
        trial_waits_for(trial, WAIT_SEEN_CLEAR) || trial_waits_for(trial, WAIT_RUN_OUT);
    return trial->gives_word && is_wanted ? REQUEST_SEEN_CLEAR : REQUEST_NONE;
}

void trial_step(struct trial *trial) {
    struct puppet *p = &trial->puppet;
    if (trial->works_by_hand) {
        work_by_hand(trial);
    }
    puppet_ask(p, word_of(trial), TRIAL_STEP_US);
    p->span_frac = fmin(p->span_frac, trial->blocked_frac);
    note(trial);
    for (unsigned e = 0; trial->asks_proceed && p->state.phase == PHASE_LINED && e < TRACK_ENDS;
         e++) {
        puppet_ask_signal(p, REQUEST_SIGNAL_PROCEED, e);
    }
}

void trial_run_for(struct trial *trial, uint64_t time_us) {
    for (uint64_t run_us = 0; run_us < time_us; run_us += TRIAL_STEP_US) {
        trial_step(trial);
    }
}

bool trial_run_to(struct trial *trial, enum bridge_phase phase, uint64_t limit_us) {
    for (uint64_t run_us = 0; trial->puppet.state.phase != phase; run_us += TRIAL_STEP_US) {
        if (run_us >= limit_us) {
            return false;
        }
        trial_step(trial);
    }
    return true;
}

uint64_t trial_time_in(struct trial *trial, enum bridge_phase phase, uint64_t limit_us) {
    uint64_t run_us = 0;
    while (trial->puppet.state.phase == phase && run_us < limit_us) {
        trial_step(trial);
        run_us += TRIAL_STEP_US;
    }
    return run_us;
}

/* ---- ways */

static const uint64_t minute_us = 60000000;

bool trial_line(struct trial *trial) {
    const struct puppet *p = &trial->puppet;
    bool is_bar_unknown = p->setup.has_lock && !p->setup.has_locked;
    if (is_bar_unknown && trial_run_to(trial, PHASE_HELD, minute_us)) {
        trial_ask(trial, REQUEST_LOWER);
    }
    if (!trial_run_to(trial, PHASE_LINED, minute_us)) {
        return false;
    }
    trial_run_for(trial, minute_us); /* approach locking from the start is over, signals show */
    return p->state.phase == PHASE_LINED;
}

bool trial_open_to(struct trial *trial, enum bridge_phase phase) {
    return trial_line(trial) && trial_ask(trial, REQUEST_RAISE) == ANSWER_GRANTED &&
           trial_run_to(trial, phase, 4 * minute_us);
}

bool trial_close_to(struct trial *trial, enum bridge_phase phase) {
    if (trial->puppet.setup.is_hand_lifted) {
        return false;
    }
    return trial_open_to(trial, PHASE_OPEN) && trial_ask(trial, REQUEST_LOWER) == ANSWER_GRANTED &&
           trial_run_to(trial, phase, 4 * minute_us);
}
