#include "core/track.h"

#include <stddef.h>

void track_start(const struct bridge_setup *setup, struct bridge_state *state) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_setup *end = &setup->track[t].end[e];
            if (end->is_used) {
                state->track[t].end[e].is_proceed_wanted = end->is_automatic;
                state->track[t].end[e].approach_lock_us = end->approach_lock_us;
            }
        }
    }
}

/* A train may be in this end's approach: as long as that is not believed clear. */
static bool is_in_face_of_train(const struct track_end_state *end) {
    return !watch_has_expired(&end->approach_clear);
}

/* Told to show stop, and either proved so or told so for as long as a proof would have taken. */
static bool is_at_stop(const struct track_end_setup *setup, const struct track_end_state *end,
                       const struct track_end_inputs *inputs) {
    bool is_proved = setup->has_signal_proof ? inputs->signal_at_stop == LEVEL_ON
                                             : watch_has_expired(&end->told_stop);
    return !end->shows_proceed && is_proved;
}

/* Told so, and no proof will ever come. */
static bool is_told_stop(const struct track_end_setup *setup, const struct track_end_state *end) {
    return setup->is_used && !setup->has_signal_proof && !end->shows_proceed;
}

/* A signal that may show proceed though it should not, or beyond a lost device, is put to stop only
 * when it is known to be there: a train in its face until then waits for the whole time from then
 * on, as after a start. */
static void observe_signal(const struct bridge_setup *setup,
                           const struct track_end_setup *end_setup, struct track_end_state *end,
                           const struct track_end_inputs *inputs, bool is_device_lost,
                           struct lapse lapse) {
    bool has_proof = end_setup->has_signal_proof;
    bool is_told = is_told_stop(end_setup, end);
    bool was_settling = is_told && !watch_has_expired(&end->told_stop);
    bool was_doubtful = end->signal_unproved.is_running || was_settling;
    watch_step(&end->told_stop, is_told, setup->proof_limit_us, lapse.seen_us);
    bool is_doubtful =
        is_device_lost || (!end->shows_proceed && !is_at_stop(end_setup, end, inputs));
    /* No fault comes of a proof that nobody fitted. */
    watch_step(&end->signal_unproved, is_device_lost || (has_proof && is_doubtful),
               setup->proof_limit_us, lapse.us);

    bool is_standing = end_setup->has_standing_detector && inputs->standing == LEVEL_ON;
    if (is_doubtful && is_in_face_of_train(end)) {
        end->approach_lock_us = end_setup->approach_lock_us;
    } else if (is_standing) {
        end->approach_lock_us = 0;
    } else {
        end->approach_lock_us = countdown(end->approach_lock_us, was_doubtful ? 0 : lapse.seen_us);
    }
}

/* A section with a proof of its power must prove it in time; one without is dead after that time.
 */
static void observe_power(const struct bridge_setup *setup, bool has_proof, bool is_powered,
                          enum level dead, struct watch *unproved, struct watch *told_off,
                          struct lapse lapse) {
    watch_step(unproved, has_proof && !is_powered && dead != LEVEL_ON, setup->proof_limit_us,
               lapse.us);
    watch_step(told_off, !has_proof && !is_powered, setup->proof_limit_us, lapse.seen_us);
}

static void observe_end(const struct bridge_setup *setup, const struct track_end_setup *end_setup,
                        struct track_end_state *end, const struct track_end_inputs *inputs,
                        bool is_device_lost, struct lapse lapse) {
    end->is_occupied = end_setup->has_stop_detector && inputs->stop_clear != LEVEL_ON;
    end->is_approached = !end_setup->has_approach_detector || inputs->approach_clear != LEVEL_ON;
    bool was_clear = end->approach_clear.is_running;
    bool is_believed =
        watch_step(&end->approach_clear, !end->is_approached, setup->clear_us, lapse.seen_us);
    end->is_just_left = !end->is_approached && !(was_clear && is_believed);
    watch_step(&end->stop_clear, !end->is_occupied,
               end_setup->has_stop_detector ? setup->clear_us : 0, lapse.seen_us);
    observe_signal(setup, end_setup, end, inputs, is_device_lost, lapse);
    observe_power(setup, end_setup->has_stop_power_proof, end->is_powered, inputs->stop_dead,
                  &end->power_unproved, &end->told_off, lapse);
}

void track_observe(const struct bridge_setup *setup, struct bridge_state *state,
                   const struct bridge_inputs *inputs, struct lapse lapse) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        const struct track_setup *track_setup = &setup->track[t];
        const struct track_inputs *track_inputs = &inputs->track[t];
        struct track_state *track = &state->track[t];

        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (track_setup->end[e].is_used) {
                observe_end(setup, &track_setup->end[e], &track->end[e], &track_inputs->end[e],
                            inputs->is_device_lost, lapse);
            }
        }
        track->is_occupied = track_setup->has_span_detector && track_inputs->span_clear != LEVEL_ON;
        watch_step(&track->span_clear, !track->is_occupied,
                   track_setup->has_span_detector ? setup->clear_us : 0, lapse.seen_us);
        observe_power(setup, track_setup->has_span_power_proof, track->is_powered,
                      track_inputs->span_dead, &track->power_unproved, &track->told_off, lapse);
    }
}

/* S1: everything that a train passing a home signal of this track will run over is powered and
 * clear. `is_powered` is what the last step put out: power comes first, the signal after it. */
static bool is_ready_for_train(const struct track_setup *setup, const struct track_state *track,
                               const struct track_inputs *inputs) {
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        if (!setup->end[e].is_used) {
            continue;
        }
        bool is_proved_dead =
            setup->end[e].has_stop_power_proof && inputs->end[e].stop_dead == LEVEL_ON;
        if (!track->end[e].is_powered || is_proved_dead ||
            !watch_has_expired(&track->end[e].stop_clear)) {
            return false;
        }
    }
    bool is_span_dead = setup->has_span_power_proof && inputs->span_dead == LEVEL_ON;
    return track->is_powered && !is_span_dead && watch_has_expired(&track->span_clear);
}

/* A train is seen in this end's approach, and would be let on. */
static bool is_claimed(const struct track_end_setup *setup, const struct track_end_state *end,
                       bool is_candidate) {
    return is_candidate && setup->has_approach_detector && is_in_face_of_train(end);
}

static void command_signals(const struct track_setup *setup, struct track_state *track,
                            const struct track_inputs *inputs, bool may_clear,
                            uint32_t proof_limit_us, struct track_outputs *outputs) {
    bool may_pass = may_clear && is_ready_for_train(setup, track, inputs);
    bool is_candidate[TRACK_ENDS];
    bool is_taken[TRACK_ENDS];
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        is_candidate[e] = may_pass && setup->end[e].is_used && track->end[e].is_proceed_wanted;
        is_taken[e] = is_claimed(&setup->end[e], &track->end[e], is_candidate[e]);
    }
    if (is_taken[0] && is_taken[1]) { /* both: who had the signal alone keeps it, else end 0 */
        bool is_second_first = track->end[1].shows_proceed && !track->end[0].shows_proceed;
        is_taken[is_second_first ? 0 : 1] = false;
    }
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        struct track_end_state *end = &track->end[e];
        bool shows = is_candidate[e] && !is_taken[1 - e];
        if (end->shows_proceed && !shows && is_in_face_of_train(end)) {
            end->approach_lock_us = setup->end[e].approach_lock_us;
        }
        end->shows_proceed = shows;
        watch_step(&end->told_stop, is_told_stop(&setup->end[e], end), proof_limit_us, 0);
        outputs->end[e].signal_proceed = shows;
    }
}

/* What a lost device does nobody knows: what time proves is told anew once it is back. */
static void forget_told(struct track_state *track) {
    track->told_off = (struct watch){0};
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        track->end[e].told_stop = track->end[e].told_off = (struct watch){0};
    }
}

void track_command(const struct bridge_setup *setup, struct bridge_state *state,
                   const struct bridge_inputs *inputs, bool may_power, bool may_clear,
                   struct bridge_outputs *outputs) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        const struct track_setup *track_setup = &setup->track[t];
        struct track_state *track = &state->track[t];
        command_signals(track_setup, track, &inputs->track[t], may_power && may_clear,
                        setup->proof_limit_us, &outputs->track[t]);
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_setup *end = &track_setup->end[e];
            track->end[e].is_powered = may_power && end->is_used;
            outputs->track[t].end[e].stop_power = track->end[e].is_powered;
            watch_step(&track->end[e].told_off,
                       end->is_used && !end->has_stop_power_proof && !may_power,
                       setup->proof_limit_us, 0);
        }
        track->is_fresh = may_power && !track->is_powered;
        track->is_powered = may_power;
        outputs->track[t].span_power = may_power;
        watch_step(&track->told_off, !track_setup->has_span_power_proof && !may_power,
                   setup->proof_limit_us, 0);
        if (inputs->is_device_lost) {
            forget_told(track);
        }
    }
}

/* ---- questions about all ends: one walk, many tests */

struct end_view {
    const struct track_end_setup *setup;
    const struct track_end_state *state;
    const struct track_end_inputs *inputs; /* NULL where the question needs none */
};

typedef bool end_test(const struct end_view *end);

static bool track_ends(const struct bridge_setup *setup, const struct bridge_state *state,
                       const struct bridge_inputs *inputs, end_test *holds, unsigned t,
                       struct track_place *where) {
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        struct end_view end = {&setup->track[t].end[e], &state->track[t].end[e],
                               inputs != NULL ? &inputs->track[t].end[e] : NULL};
        if (end.setup->is_used && !holds(&end)) {
            *where = (struct track_place){t, e};
            return false;
        }
    }
    return true;
}

static bool all_ends(const struct bridge_setup *setup, const struct bridge_state *state,
                     const struct bridge_inputs *inputs, end_test *holds,
                     struct track_place *where) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        if (!track_ends(setup, state, inputs, holds, t, where)) {
            return false;
        }
    }
    return true;
}

static bool end_is_at_stop(const struct end_view *end) {
    return is_at_stop(end->setup, end->state, end->inputs);
}

static bool end_is_released(const struct end_view *end) {
    return end->state->approach_lock_us == 0;
}

static bool end_is_clear(const struct end_view *end) {
    return watch_has_expired(&end->state->stop_clear);
}

static bool is_dead(bool is_powered, bool has_proof, enum level dead,
                    const struct watch *told_off) {
    return !is_powered && (has_proof ? dead == LEVEL_ON : watch_has_expired(told_off));
}

static bool end_is_dead(const struct end_view *end) {
    return is_dead(end->state->is_powered, end->setup->has_stop_power_proof, end->inputs->stop_dead,
                   &end->state->told_off);
}

static bool end_is_live(const struct end_view *end) {
    return !end->state->is_powered || !end->setup->has_stop_power_proof ||
           end->inputs->stop_dead != LEVEL_ON;
}

static bool end_signal_has_not_failed(const struct end_view *end) {
    return !watch_has_expired(&end->state->signal_unproved);
}

static bool end_power_has_not_failed(const struct end_view *end) {
    return !watch_has_expired(&end->state->power_unproved);
}

static bool is_known(bool is_present, enum level level) {
    return !is_present || level != LEVEL_UNKNOWN;
}

static bool end_is_known(const struct end_view *end) {
    const struct track_end_setup *has = end->setup;
    const struct track_end_inputs *in = end->inputs;
    return is_known(has->has_approach_detector, in->approach_clear) &&
           is_known(has->has_standing_detector, in->standing) &&
           is_known(has->has_stop_detector, in->stop_clear) &&
           is_known(has->has_signal_proof, in->signal_at_stop) &&
           is_known(has->has_stop_power_proof, in->stop_dead);
}

bool track_all_signals_at_stop(const struct bridge_setup *setup, const struct bridge_state *state,
                               const struct bridge_inputs *inputs, struct track_place *where) {
    return all_ends(setup, state, inputs, end_is_at_stop, where);
}

bool track_all_released(const struct bridge_setup *setup, const struct bridge_state *state,
                        struct track_place *where) {
    return all_ends(setup, state, NULL, end_is_released, where);
}

bool track_all_stop_clear(const struct bridge_setup *setup, const struct bridge_state *state,
                          struct track_place *where) {
    return all_ends(setup, state, NULL, end_is_clear, where);
}

bool track_all_span_clear(const struct bridge_setup *setup, const struct bridge_state *state,
                          struct track_place *where) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        if (!watch_has_expired(&state->track[t].span_clear)) {
            *where = (struct track_place){t, 0};
            return false;
        }
    }
    return true;
}

bool track_all_dead(const struct bridge_setup *setup, const struct bridge_state *state,
                    const struct bridge_inputs *inputs, struct track_place *where) {
    if (!all_ends(setup, state, inputs, end_is_dead, where)) {
        return false;
    }
    for (unsigned t = 0; t < setup->tracks; t++) {
        const struct track_state *track = &state->track[t];
        if (!is_dead(track->is_powered, setup->track[t].has_span_power_proof,
                     inputs->track[t].span_dead, &track->told_off)) {
            *where = (struct track_place){t, 0};
            return false;
        }
    }
    return true;
}

static bool is_span_proved_dead(const struct bridge_setup *setup,
                                const struct bridge_inputs *inputs, unsigned t) {
    return setup->track[t].has_span_power_proof && inputs->track[t].span_dead == LEVEL_ON;
}

bool track_all_live(const struct bridge_setup *setup, const struct bridge_state *state,
                    const struct bridge_inputs *inputs, struct track_place *where) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        if (state->track[t].is_fresh) { /* these inputs are older than the power */
            return true;
        }
        if (state->track[t].is_powered && is_span_proved_dead(setup, inputs, t)) {
            *where = (struct track_place){t, 0};
            return false;
        }
    }
    return all_ends(setup, state, inputs, end_is_live, where);
}

bool track_has_power(const struct bridge_setup *setup, const struct bridge_state *state,
                     const struct bridge_inputs *inputs, unsigned track) {
    struct track_place where;
    return state->track[track].is_powered && !is_span_proved_dead(setup, inputs, track) &&
           track_ends(setup, state, inputs, end_is_live, track, &where);
}

bool track_is_at_stop(const struct bridge_setup *setup, const struct bridge_state *state,
                      const struct bridge_inputs *inputs, unsigned track) {
    struct track_place where;
    return track_ends(setup, state, inputs, end_is_at_stop, track, &where);
}

bool track_is_approach_just_left(const struct bridge_state *state, unsigned track) {
    const struct track_end_state *end = state->track[track].end;
    return end[0].is_just_left || end[1].is_just_left;
}

bool track_is_seen_occupied(const struct bridge_state *state, unsigned track) {
    const struct track_state *seen = &state->track[track];
    return seen->is_occupied || seen->end[0].is_occupied || seen->end[1].is_occupied;
}

bool track_is_occupied(const struct bridge_setup *setup, const struct bridge_state *state) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        if (track_is_seen_occupied(state, t)) {
            return true;
        }
    }
    return false;
}

bool track_signal_failed(const struct bridge_setup *setup, const struct bridge_state *state) {
    struct track_place where;
    return !all_ends(setup, state, NULL, end_signal_has_not_failed, &where);
}

bool track_power_failed(const struct bridge_setup *setup, const struct bridge_state *state) {
    struct track_place where;
    if (!all_ends(setup, state, NULL, end_power_has_not_failed, &where)) {
        return true;
    }
    for (unsigned t = 0; t < setup->tracks; t++) {
        if (watch_has_expired(&state->track[t].power_unproved)) {
            return true;
        }
    }
    return false;
}

bool track_inputs_known(const struct bridge_setup *setup, const struct bridge_state *state,
                        const struct bridge_inputs *inputs) {
    struct track_place where;
    for (unsigned t = 0; t < setup->tracks; t++) {
        if (!is_known(setup->track[t].has_span_detector, inputs->track[t].span_clear) ||
            !is_known(setup->track[t].has_span_power_proof, inputs->track[t].span_dead)) {
            return false;
        }
    }
    return all_ends(setup, state, inputs, end_is_known, &where);
}

uint32_t track_wake_us(const struct bridge_setup *setup, const struct bridge_state *state) {
    uint32_t wake_us = UINT32_MAX;
    for (unsigned t = 0; t < setup->tracks; t++) {
        const struct track_state *track = &state->track[t];
        wake_us = track->is_fresh ? 0 : wake_us;
        wake_us = sooner_us(wake_us, watch_wake_us(&track->span_clear));
        wake_us = sooner_us(wake_us, watch_wake_us(&track->power_unproved));
        wake_us = sooner_us(wake_us, watch_wake_us(&track->told_off));
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_state *end = &track->end[e];
            wake_us = sooner_us(wake_us, watch_wake_us(&end->approach_clear));
            wake_us = sooner_us(wake_us, watch_wake_us(&end->stop_clear));
            wake_us = sooner_us(wake_us, watch_wake_us(&end->signal_unproved));
            wake_us = sooner_us(wake_us, watch_wake_us(&end->power_unproved));
            wake_us = sooner_us(wake_us, watch_wake_us(&end->told_stop));
            wake_us = sooner_us(wake_us, watch_wake_us(&end->told_off));
            wake_us = sooner_us(wake_us, countdown_wake_us(end->approach_lock_us));
        }
    }
    return wake_us;
}
