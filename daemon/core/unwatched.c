#include "core/unwatched.h"

#include "core/data/request.h"

bool unwatched_is(const struct track_setup *track) {
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        if (track->end[e].is_used && !track->end[e].has_stop_detector) {
            return true;
        }
    }
    return !track->has_span_detector;
}

/* Under power a train is brought in by a hand on the throttle while nobody counts, or unseen while
 * nobody looks; and one that leaves an approach while its signal is at stop has run past it. */
static bool may_have_come(const struct bridge_state *state, struct lapse lapse, unsigned t) {
    return state->track[t].is_powered && (state->phase != PHASE_CLEARING || lapse_is_gap(lapse) ||
                                          track_is_approach_just_left(state, t));
}

/* A signal that may show proceed lets a train in, too; and a train that is seen now is one that the
 * time did not let out. */
static bool is_time_lost(const struct bridge_setup *setup, const struct bridge_state *state,
                         const struct bridge_inputs *inputs, struct lapse lapse, unsigned t) {
    const struct track_state *track = &state->track[t];
    return inputs->is_device_lost || !track_is_at_stop(setup, state, inputs, t) ||
           may_have_come(state, lapse, t) ||
           (watch_has_expired(&track->run_out) && track_is_seen_occupied(state, t));
}

/* Only under power does a train leave. Without it nothing drives in either: what has been counted
 * stays. */
static void count(struct watch *run_out, uint32_t whole_us, bool has_power, uint32_t seen_us) {
    if (watch_has_expired(run_out)) {
        return;
    }
    if (!has_power || whole_us == 0) {
        run_out->is_running = false;
    } else if (run_out->is_running || run_out->left_us == 0) {
        watch_step(run_out, true, whole_us, seen_us);
    } else { /* it goes on; the time of the pause does not count */
        run_out->is_running = true;
    }
}

/* A lost device is a fault, and ends it so. */
static bool has_word_lapsed(const struct bridge_setup *setup, const struct bridge_state *state,
                            const struct bridge_inputs *inputs) {
    struct track_place where;
    return track_is_occupied(setup, state) ||
           !track_all_signals_at_stop(setup, state, inputs, &where);
}

bool unwatched_takes_word(const struct bridge_state *state) {
    return state->phase == PHASE_CLEARING || state->phase == PHASE_HELD ||
           state->phase == PHASE_OPEN;
}

/* Where a word is taken looks are planned, so that a gap shows as one; elsewhere there may be none
 * for hours, and whoever asks for the opening then may have said the word along with it. */
static bool may_word_be_old(const struct bridge_state *state, struct lapse lapse) {
    return lapse_is_gap(lapse) || (!unwatched_takes_word(state) && lapse.us > LATE_MOST_US);
}

void unwatched_observe(const struct bridge_setup *setup, struct bridge_state *state,
                       const struct bridge_inputs *inputs, struct lapse lapse) {
    state->seen_clear_left_us =
        has_word_lapsed(setup, state, inputs) ? 0 : countdown(state->seen_clear_left_us, lapse.us);
    state->word_barred_left_us = may_word_be_old(state, lapse)
                                     ? WORD_BARRED_US
                                     : countdown(state->word_barred_left_us, lapse.seen_us);
    for (unsigned t = 0; t < setup->tracks; t++) {
        struct watch *run_out = &state->track[t].run_out;
        if (!unwatched_is(&setup->track[t]) || is_time_lost(setup, state, inputs, lapse, t)) {
            *run_out = (struct watch){0};
        } else {
            count(run_out, setup->track[t].run_out_us, track_has_power(setup, state, inputs, t),
                  lapse.seen_us);
        }
    }
}

void unwatched_command(const struct bridge_setup *setup, struct bridge_state *state) {
    for (unsigned t = 0; t < setup->tracks && state->seen_clear_left_us > 0; t++) {
        struct track_state *track = &state->track[t];
        if (unwatched_is(&setup->track[t]) && !track->is_powered) {
            track->run_out = (struct watch){.is_running = true, .left_us = 0};
        }
    }
}

void unwatched_forget(struct bridge_state *state) {
    state->seen_clear_left_us = 0;
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        state->track[t].run_out = (struct watch){0};
    }
}

static bool is_in_doubt(const struct bridge_setup *setup, const struct bridge_state *state,
                        unsigned t) {
    return unwatched_is(&setup->track[t]) && !watch_has_expired(&state->track[t].run_out);
}

static bool is_timed(const struct track_state *track) {
    return track->run_out.is_running && track->run_out.left_us > 0;
}

bool unwatched_will_time_do(const struct bridge_setup *setup, const struct bridge_state *state,
                            const struct bridge_inputs *inputs, unsigned track) {
    return state->phase == PHASE_CLEARING && setup->track[track].run_out_us > 0 &&
           track_has_power(setup, state, inputs, track);
}

bool unwatched_all_timed_out(const struct bridge_setup *setup, const struct bridge_state *state,
                             struct track_place *where) {
    unsigned in_doubt = 0;
    for (unsigned t = 0; t < setup->tracks; t++) {
        if (!is_in_doubt(setup, state, t)) {
            continue;
        }
        bool needs_word = !is_timed(&state->track[t]);
        if (in_doubt++ == 0 || needs_word) {
            *where = (struct track_place){t, 0};
        }
        if (needs_word) {
            return false;
        }
    }
    return in_doubt == 0;
}

bool unwatched_all_run_out(const struct bridge_setup *setup, const struct bridge_state *state) {
    struct track_place where;
    return state->seen_clear_left_us > 0 || unwatched_all_timed_out(setup, state, &where);
}

uint32_t unwatched_wake_us(const struct bridge_setup *setup, const struct bridge_state *state) {
    uint32_t wake_us = countdown_wake_us(state->seen_clear_left_us);
    for (unsigned t = 0; t < setup->tracks; t++) {
        const struct track_state *track = &state->track[t];
        wake_us = is_timed(track) ? sooner_us(wake_us, track->run_out.left_us) : wake_us;
        if (unwatched_takes_word(state) && is_in_doubt(setup, state, t)) {
            wake_us = sooner_us(wake_us, LOOK_PERIOD_US);
        }
    }
    return wake_us;
}
