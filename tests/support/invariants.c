#include "support/invariants.h"

#include <math.h>
#include <stddef.h>

struct judged {
    struct invariants *judge;
    const struct bridge_setup *setup;
    const struct bridge_inputs *in;
    const struct bridge_outputs *out;
    uint32_t dt_us;
};

static uint32_t longer(uint32_t time_us, uint32_t dt_us) {
    return time_us > UINT32_MAX - dt_us ? UINT32_MAX : time_us + dt_us;
}

/* How long a section has been seen clear; the time before the first clear reading does not count.
 */
static void reckon_clear(uint32_t *for_us, bool *was_clear, bool is_clear, uint32_t dt_us) {
    *for_us = is_clear && *was_clear ? longer(*for_us, dt_us) : 0;
    *was_clear = is_clear;
}

static bool end_clear(const struct judged *j, unsigned t, unsigned e) {
    const struct track_end_setup *end = &j->setup->track[t].end[e];
    return !end->is_used || !end->has_stop_detector ||
           (j->judge->was_clear[t][e] && j->judge->stop_clear_for_us[t][e] >= j->setup->clear_us);
}

static bool span_clear(const struct judged *j, unsigned t) {
    return !j->setup->track[t].has_span_detector ||
           (j->judge->was_clear[t][TRACK_ENDS] &&
            j->judge->span_clear_for_us[t] >= j->setup->clear_us);
}

static void observe(const struct judged *j) {
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            reckon_clear(&j->judge->stop_clear_for_us[t][e], &j->judge->was_clear[t][e],
                         j->in->track[t].end[e].stop_clear == LEVEL_ON, j->dt_us);
            uint32_t *left = &j->judge->lock_left_us[t][e];
            *left = *left > j->dt_us ? *left - j->dt_us : 0;
            if (j->setup->track[t].end[e].has_standing_detector &&
                j->in->track[t].end[e].standing == LEVEL_ON) {
                *left = 0;
            }
        }
        reckon_clear(&j->judge->span_clear_for_us[t], &j->judge->was_clear[t][TRACK_ENDS],
                     j->in->track[t].span_clear == LEVEL_ON, j->dt_us);
    }
}

static bool seated_and_locked(const struct judged *j) {
    return j->in->seated == LEVEL_ON && j->in->locked == LEVEL_ON;
}

static bool proved(const struct judged *j) {
    for (unsigned i = 0; i < j->setup->rails; i++) {
        if (j->in->rail[i] != LEVEL_ON) {
            return false;
        }
    }
    return seated_and_locked(j);
}

static const char *judge_signal(const struct judged *j, unsigned t, unsigned e) {
    if (!j->out->track[t].end[e].signal_proceed) {
        return NULL;
    }
    if (!proved(j)) {
        return "S1: proceed though the span is not proved seated, locked and in line";
    }
    if (j->out->lift_effort != 0 || j->judge->before.lift_effort != 0) {
        return "S1: proceed though the lift is not at rest";
    }
    for (unsigned k = 0; k < TRACK_ENDS; k++) {
        if (!j->setup->track[t].end[k].is_used) {
            continue;
        }
        if (!j->out->track[t].end[k].stop_power || !j->judge->before.track[t].end[k].stop_power) {
            return "S1: proceed into a stop section without power";
        }
        if (!end_clear(j, t, k)) {
            return "S1: proceed into an occupied stop section";
        }
    }
    if (!j->out->track[t].span_power || !j->judge->before.track[t].span_power) {
        return "S1: proceed onto a span section without power";
    }
    return span_clear(j, t) ? NULL : "S1: proceed onto an occupied span section";
}

/* Signals, sections and approach locking as S3 and S4 want them. */
static const char *judge_trains_away(const struct judged *j) {
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        const struct track_setup *track = &j->setup->track[t];
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_inputs *in = &j->in->track[t].end[e];
            if (!track->end[e].is_used) {
                continue;
            }
            if (j->out->track[t].end[e].signal_proceed ||
                j->judge->before.track[t].end[e].signal_proceed ||
                (track->end[e].has_signal_proof && in->signal_at_stop != LEVEL_ON)) {
                return "S3/S4: a home signal is not proved at stop";
            }
            if (j->out->track[t].end[e].stop_power || j->judge->before.track[t].end[e].stop_power ||
                (track->end[e].has_stop_power_proof && in->stop_dead != LEVEL_ON)) {
                return "S3/S4: a stop section is not proved dead";
            }
            if (!end_clear(j, t, e)) {
                return "S3/S4: a stop section is not clear";
            }
            if (j->judge->lock_left_us[t][e] > 0) {
                return "S3/S4: approach locking has not released";
            }
        }
        if (j->out->track[t].span_power || j->judge->before.track[t].span_power ||
            (track->has_span_power_proof && j->in->track[t].span_dead != LEVEL_ON)) {
            return "S3/S4: a span section is not proved dead";
        }
        if (!span_clear(j, t)) {
            return "S3/S4: a span section is not clear";
        }
    }
    return NULL;
}

static const char *judge_lift_and_lock(const struct judged *j) {
    if (!(fabs(j->out->lift_effort) <= 1)) {
        return "lift effort out of range";
    }
    if (j->out->lift_effort != 0) {
        if (j->setup->is_hand_lifted) {
            return "a hand-lifted span has no lift";
        }
        if (j->in->withdrawn != LEVEL_ON) {
            return "S3: the lift is driven though the lock is not proved withdrawn";
        }
        return judge_trains_away(j);
    }
    if (j->out->lock == LOCK_DRIVE_WITHDRAWN) {
        return judge_trains_away(j);
    }
    if (j->out->lock == LOCK_DRIVE_DRIVEN && j->in->seated != LEVEL_ON) {
        return "S4: the lock is driven though the span is not seated";
    }
    return NULL;
}

static const char *judge_power(const struct judged *j) {
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        bool is_powered = j->out->track[t].span_power;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            is_powered = is_powered || j->out->track[t].end[e].stop_power;
        }
        if (is_powered && !seated_and_locked(j)) {
            return "S2: power though the span is not proved seated and locked";
        }
    }
    return NULL;
}

static const char *judge_requests(const struct judged *j, const struct bridge_request *request) {
    bool is_stop = request->kind == REQUEST_STOP || request->kind == REQUEST_EMERGENCY_STOP ||
                   (j->setup->has_stop_circuit && j->in->stop_circuit != LEVEL_ON);
    if (is_stop && (j->out->lift_effort != 0 || j->out->lock != LOCK_DRIVE_REST)) {
        return "S9: a stop did not act in its own step";
    }
    return NULL;
}

static void remember(const struct judged *j) {
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            bool is_approached = !j->setup->track[t].end[e].has_approach_detector ||
                                 j->in->track[t].end[e].approach_clear != LEVEL_ON;
            if (j->judge->before.track[t].end[e].signal_proceed &&
                !j->out->track[t].end[e].signal_proceed && is_approached) {
                j->judge->lock_left_us[t][e] = j->setup->track[t].end[e].approach_lock_us;
            }
        }
    }
    j->judge->before = *j->out;
}

const char *invariants_broken(struct invariants *judge, const struct bridge_setup *setup,
                              const struct bridge_inputs *inputs,
                              const struct bridge_request *request, uint32_t dt_us,
                              const struct bridge_outputs *outputs) {
    struct judged j = {judge, setup, inputs, outputs, dt_us};
    observe(&j);
    const char *broken = judge_lift_and_lock(&j);
    for (unsigned t = 0; broken == NULL && t < setup->tracks; t++) {
        for (unsigned e = 0; broken == NULL && e < TRACK_ENDS; e++) {
            broken = judge_signal(&j, t, e);
        }
    }
    if (broken == NULL) {
        broken = judge_power(&j);
    }
    if (broken == NULL) {
        broken = judge_requests(&j, request);
    }
    remember(&j);
    return broken;
}
