#include "support/core/invariants.h"

#include <math.h>
#include <stddef.h>

struct judged {
    const struct looked *look;
    const struct bridge_setup *setup;
    const struct bridge_inputs *in;
    const struct bridge_outputs *before;
    const struct bridge_outputs *out;
    const struct proved *proved;
};

/* ---- S1 */

static const char *judge_shown(const struct judged *j, unsigned t) {
    if (!j->proved->is_span) {
        return "S1: proceed though the span is not proved seated, locked and in line";
    }
    if (j->out->lift_effort != 0 || j->before->lift_effort != 0) {
        return "S1: proceed though the lift is not at rest";
    }
    for (unsigned k = 0; k < TRACK_ENDS; k++) {
        const struct track_end_setup *has = &j->setup->track[t].end[k];
        if (!has->is_used) {
            continue;
        }
        if (!j->out->track[t].end[k].stop_power || !j->before->track[t].end[k].stop_power ||
            (has->has_stop_power_proof && j->in->track[t].end[k].stop_dead == LEVEL_ON)) {
            return "S1: proceed into a stop section without power";
        }
        if (!seen_is_stop_clear(j->look, t, k)) {
            return "S1: proceed into an occupied stop section";
        }
    }
    if (!j->out->track[t].span_power || !j->before->track[t].span_power ||
        (j->setup->track[t].has_span_power_proof && j->in->track[t].span_dead == LEVEL_ON)) {
        return "S1: proceed onto a span section without power";
    }
    return seen_is_span_clear(j->look, t) ? NULL : "S1: proceed onto an occupied span section";
}

static const char *judge_signals(const struct judged *j) {
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_outputs *out = &j->out->track[t].end[e];
            bool is_there = t < j->setup->tracks && j->setup->track[t].end[e].is_used;
            if (!is_there && (out->signal_proceed || out->stop_power)) {
                return "S1: a signal or power where no track end is";
            }
            const char *broken = out->signal_proceed ? judge_shown(j, t) : NULL;
            if (broken != NULL) {
                return broken;
            }
        }
    }
    return NULL;
}

/* ---- S2 */

static const char *judge_power(const struct judged *j) {
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        bool is_powered = j->out->track[t].span_power;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            is_powered = is_powered || j->out->track[t].end[e].stop_power;
        }
        if (is_powered && !j->proved->is_span) {
            return "S2: power though the span is not proved seated, locked and in line";
        }
    }
    return NULL;
}

/* ---- S3, S4 */

static const char *judge_end_away(const struct judged *j, unsigned t, unsigned e) {
    if (j->out->track[t].end[e].signal_proceed || !seen_is_at_stop(j->look, t, e)) {
        return "S3/S4: a home signal is not proved at stop";
    }
    if (j->out->track[t].end[e].stop_power || !seen_is_stop_dead(j->look, t, e)) {
        return "S3/S4: a stop section is not proved dead";
    }
    if (!seen_is_stop_clear(j->look, t, e)) {
        return "S3/S4: a stop section is not clear";
    }
    return j->look->seen->track[t].end[e].lock_left_us > 0
               ? "S3/S4: approach locking has not released"
               : NULL;
}

/* Signals, sections and approach locking as S3 and S4 want them. */
static const char *judge_trains_away(const struct judged *j) {
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const char *broken = j->setup->track[t].end[e].is_used ? judge_end_away(j, t, e) : NULL;
            if (broken != NULL) {
                return broken;
            }
        }
        if (j->out->track[t].span_power || !seen_is_span_dead(j->look, t)) {
            return "S3/S4: a span section is not proved dead";
        }
        if (!seen_is_span_clear(j->look, t)) {
            return "S3/S4: a span section is not clear";
        }
        if (!seen_has_run_out(j->look, t)) {
            return "S3/S4: a track that is not watched whole has not run out";
        }
    }
    return NULL;
}

static const char *judge_lift(const struct judged *j) {
    if (!(fabs(j->out->lift_effort) <= 1)) {
        return "lift effort out of range";
    }
    if (j->out->brake_released != (j->out->lift_effort != 0)) {
        return "S3: the brake is released without the lift being driven, or the reverse";
    }
    if (j->out->lift_effort == 0) {
        return NULL;
    }
    if (j->setup->is_hand_lifted) {
        return "a hand-lifted span has no lift";
    }
    if (!j->proved->is_withdrawn) {
        return "S3: the lift is driven though the lock is not proved withdrawn";
    }
    return judge_trains_away(j);
}

static const char *judge_lock(const struct judged *j) {
    if (j->out->lock != LOCK_DRIVE_REST && !(j->setup->has_lock && j->setup->has_lock_drive)) {
        return "S4: a lock is driven that has no drive";
    }
    if (j->out->lock == LOCK_DRIVE_DRIVEN && !j->proved->is_seated) {
        return "S4: the lock is driven though the span is not seated";
    }
    return j->out->lock == LOCK_DRIVE_WITHDRAWN ? judge_trains_away(j) : NULL;
}

/* ---- S5 */

static const char *judge_distrust(const struct judged *j) {
    if (!j->proved->is_distrusted) {
        return NULL;
    }
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        const struct track_outputs *out = &j->out->track[t];
        if (out->span_power || out->end[0].stop_power || out->end[1].stop_power ||
            out->end[0].signal_proceed || out->end[1].signal_proceed) {
            return "S5: signals or power trust inputs that cannot be trusted";
        }
    }
    return j->out->lift_effort != 0 || j->out->lock != LOCK_DRIVE_REST
               ? "S5: lift or lock trust inputs that cannot be trusted"
               : NULL;
}

/* ---- S9 */

static const char *judge_stops(const struct judged *j) {
    enum bridge_request_kind kind = j->look->request->kind;
    bool is_stop = kind == REQUEST_STOP || kind == REQUEST_EMERGENCY_STOP ||
                   (j->setup->has_stop_circuit && j->in->stop_circuit != LEVEL_ON);
    if (is_stop && (j->out->lift_effort != 0 || j->out->lock != LOCK_DRIVE_REST)) {
        return "S9: a stop did not act in its own step";
    }
    return NULL;
}

const char *invariants_broken(struct seen *seen, const struct bridge_setup *setup,
                              const struct bridge_inputs *inputs,
                              const struct bridge_request *request, uint32_t dt_us,
                              const struct bridge_outputs *outputs) {
    const struct looked look = {seen, setup, inputs, request, dt_us};
    seen_observe(&look);
    const struct judged j = {&look, setup, inputs, &seen->before, outputs, &seen->proved};
    const char *const found[] = {judge_signals(&j), judge_power(&j),    judge_lift(&j),
                                 judge_lock(&j),    judge_distrust(&j), judge_stops(&j)};
    seen_remember(&look, outputs);
    for (size_t i = 0; i < sizeof found / sizeof found[0]; i++) {
        if (found[i] != NULL) {
            return found[i];
        }
    }
    return NULL;
}
