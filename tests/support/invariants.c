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

/* ---- what was seen, and for how long; the time before the first such reading does not count */

static uint32_t longer(uint32_t time_us, uint32_t dt_us) {
    return time_us > UINT32_MAX - dt_us ? UINT32_MAX : time_us + dt_us;
}

static void see_section(struct judged_section *section, enum level reading, uint32_t dt_us) {
    bool is_clear = reading == LEVEL_ON;
    section->clear_for_us =
        is_clear && section->was_clear ? longer(section->clear_for_us, dt_us) : 0;
    section->was_clear = is_clear;
}

static void see_contact(const struct judged *j, struct judged_contact *contact,
                        enum level reading) {
    contact->held_for_us = reading == contact->reading ? longer(contact->held_for_us, j->dt_us) : 0;
    contact->reading = reading;
    if (reading == LEVEL_UNKNOWN || contact->held_for_us >= j->setup->debounce_us) {
        contact->believed = reading;
    }
}

static bool is_on(const struct judged_contact *contact) {
    return contact->believed == LEVEL_ON;
}

static bool is_off(const struct judged_contact *contact) {
    return contact->believed == LEVEL_OFF;
}

static void see_contacts(const struct judged *j) {
    see_contact(j, &j->judge->seated, j->in->seated);
    see_contact(j, &j->judge->locked, j->in->locked);
    see_contact(j, &j->judge->withdrawn, j->in->withdrawn);
    see_contact(j, &j->judge->open, j->in->open);
    see_contact(j, &j->judge->nearly_seated, j->in->nearly_seated);
    see_contact(j, &j->judge->nearly_open, j->in->nearly_open);
    for (unsigned i = 0; i < j->setup->rails; i++) {
        see_contact(j, &j->judge->rail[i], j->in->rail[i]);
    }
}

static bool is_clear(const struct judged *j, const struct judged_section *section) {
    return section->was_clear && section->clear_for_us >= j->setup->clear_us;
}

static bool is_train_coming(const struct judged *j, unsigned t, unsigned e) {
    return !j->setup->track[t].end[e].has_approach_detector ||
           !is_clear(j, &j->judge->approach[t][e]);
}

/* It was told to show stop, and nobody can say that it does. */
static bool is_stop_doubtful(const struct judged *j, unsigned t, unsigned e) {
    bool is_told = !j->judge->before.track[t].end[e].signal_proceed;
    bool is_denied = j->setup->track[t].end[e].has_signal_proof &&
                     j->in->track[t].end[e].signal_at_stop != LEVEL_ON;
    return j->in->is_device_lost || (is_told && is_denied);
}

static void see_end(const struct judged *j, unsigned t, unsigned e) {
    const struct track_end_inputs *in = &j->in->track[t].end[e];
    const struct track_end_setup *has = &j->setup->track[t].end[e];
    see_section(&j->judge->approach[t][e], in->approach_clear, j->dt_us);
    see_section(&j->judge->stop[t][e], in->stop_clear, j->dt_us);

    /* What showed before the start is not known: as if it had been proceed until then (S6). */
    uint32_t *left = &j->judge->lock_left_us[t][e];
    uint32_t before_us = j->judge->has_begun ? *left : has->approach_lock_us;
    bool *was_doubtful = &j->judge->was_doubtful[t][e];
    uint32_t counts_us = *was_doubtful ? 0 : j->dt_us;
    *left = before_us > counts_us ? before_us - counts_us : 0;
    *was_doubtful = is_stop_doubtful(j, t, e);
    if (has->has_standing_detector && in->standing == LEVEL_ON) {
        *left = 0;
    }
    if (*was_doubtful && is_train_coming(j, t, e)) {
        *left = has->approach_lock_us;
    }
}

static void observe(const struct judged *j) {
    see_contacts(j);
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            see_end(j, t, e);
        }
        see_section(&j->judge->span[t], j->in->track[t].span_clear, j->dt_us);
    }
    j->judge->has_begun = true;
}

static bool is_stop_section_clear(const struct judged *j, unsigned t, unsigned e) {
    return !j->setup->track[t].end[e].has_stop_detector || is_clear(j, &j->judge->stop[t][e]);
}

static bool is_span_section_clear(const struct judged *j, unsigned t) {
    return !j->setup->track[t].has_span_detector || is_clear(j, &j->judge->span[t]);
}

static bool is_proved(const struct judged *j) {
    for (unsigned i = 0; i < j->setup->rails; i++) {
        if (!is_on(&j->judge->rail[i])) {
            return false;
        }
    }
    return is_on(&j->judge->seated) && is_on(&j->judge->locked);
}

/* ---- S1 */

static const char *judge_shown(const struct judged *j, unsigned t) {
    if (!is_proved(j)) {
        return "S1: proceed though the span is not proved seated, locked and in line";
    }
    if (j->out->lift_effort != 0 || j->judge->before.lift_effort != 0) {
        return "S1: proceed though the lift is not at rest";
    }
    for (unsigned k = 0; k < TRACK_ENDS; k++) {
        const struct track_end_setup *has = &j->setup->track[t].end[k];
        if (!has->is_used) {
            continue;
        }
        if (!j->out->track[t].end[k].stop_power || !j->judge->before.track[t].end[k].stop_power ||
            (has->has_stop_power_proof && j->in->track[t].end[k].stop_dead == LEVEL_ON)) {
            return "S1: proceed into a stop section without power";
        }
        if (!is_stop_section_clear(j, t, k)) {
            return "S1: proceed into an occupied stop section";
        }
    }
    if (!j->out->track[t].span_power || !j->judge->before.track[t].span_power ||
        (j->setup->track[t].has_span_power_proof && j->in->track[t].span_dead == LEVEL_ON)) {
        return "S1: proceed onto a span section without power";
    }
    return is_span_section_clear(j, t) ? NULL : "S1: proceed onto an occupied span section";
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
        if (is_powered && !is_proved(j)) {
            return "S2: power though the span is not proved seated, locked and in line";
        }
    }
    return NULL;
}

/* ---- S3, S4 */

static const char *judge_end_away(const struct judged *j, unsigned t, unsigned e) {
    const struct track_end_setup *has = &j->setup->track[t].end[e];
    const struct track_end_inputs *in = &j->in->track[t].end[e];
    if (!has->is_used) {
        return NULL;
    }
    if (j->out->track[t].end[e].signal_proceed || j->judge->before.track[t].end[e].signal_proceed ||
        (has->has_signal_proof && in->signal_at_stop != LEVEL_ON)) {
        return "S3/S4: a home signal is not proved at stop";
    }
    if (j->out->track[t].end[e].stop_power || j->judge->before.track[t].end[e].stop_power ||
        (has->has_stop_power_proof && in->stop_dead != LEVEL_ON)) {
        return "S3/S4: a stop section is not proved dead";
    }
    if (!is_stop_section_clear(j, t, e)) {
        return "S3/S4: a stop section is not clear";
    }
    return j->judge->lock_left_us[t][e] > 0 ? "S3/S4: approach locking has not released" : NULL;
}

/* Signals, sections and approach locking as S3 and S4 want them. */
static const char *judge_trains_away(const struct judged *j) {
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const char *broken = judge_end_away(j, t, e);
            if (broken != NULL) {
                return broken;
            }
        }
        if (j->out->track[t].span_power || j->judge->before.track[t].span_power ||
            (j->setup->track[t].has_span_power_proof && j->in->track[t].span_dead != LEVEL_ON)) {
            return "S3/S4: a span section is not proved dead";
        }
        if (!is_span_section_clear(j, t)) {
            return "S3/S4: a span section is not clear";
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
    if (!is_on(&j->judge->withdrawn)) {
        return "S3: the lift is driven though the lock is not proved withdrawn";
    }
    return judge_trains_away(j);
}

static const char *judge_lock(const struct judged *j) {
    if (j->out->lock != LOCK_DRIVE_REST && !j->setup->has_lock_drive) {
        return "S4: a lock is driven that has no drive";
    }
    if (j->out->lock == LOCK_DRIVE_DRIVEN && !is_on(&j->judge->seated)) {
        return "S4: the lock is driven though the span is not seated";
    }
    return j->out->lock == LOCK_DRIVE_WITHDRAWN ? judge_trains_away(j) : NULL;
}

/* ---- S5 */

static bool is_missing(bool is_present, enum level reading) {
    return is_present && reading == LEVEL_UNKNOWN;
}

static bool is_track_input_missing(const struct judged *j, unsigned t) {
    const struct track_setup *has = &j->setup->track[t];
    const struct track_inputs *in = &j->in->track[t];
    bool is_any = is_missing(has->has_span_detector, in->span_clear) ||
                  is_missing(has->has_span_power_proof, in->span_dead);
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        const struct track_end_setup *end = &has->end[e];
        is_any = is_any || (end->is_used &&
                            (is_missing(end->has_approach_detector, in->end[e].approach_clear) ||
                             is_missing(end->has_standing_detector, in->end[e].standing) ||
                             is_missing(end->has_stop_detector, in->end[e].stop_clear) ||
                             is_missing(end->has_signal_proof, in->end[e].signal_at_stop) ||
                             is_missing(end->has_stop_power_proof, in->end[e].stop_dead)));
    }
    return is_any;
}

static bool is_any_missing(const struct judged *j) {
    const struct bridge_setup *has = j->setup;
    const struct bridge_inputs *in = j->in;
    bool is_any = is_missing(true, in->seated) || is_missing(true, in->locked) ||
                  is_missing(has->has_withdrawn, in->withdrawn) ||
                  is_missing(has->has_open, in->open) ||
                  is_missing(has->has_nearly_seated, in->nearly_seated) ||
                  is_missing(has->has_nearly_open, in->nearly_open) ||
                  is_missing(has->has_overtravel, in->within_travel) ||
                  (has->motion.has_position && !isfinite(in->position_frac)) ||
                  (has->motion.has_current && !isfinite(in->current_a));
    for (unsigned i = 0; i < has->rails; i++) {
        is_any = is_any || is_missing(true, in->rail[i]);
    }
    for (unsigned t = 0; t < has->tracks; t++) {
        is_any = is_any || is_track_input_missing(j, t);
    }
    return is_any;
}

static bool is_any_contradicted(const struct judged *j) {
    const struct bridge_setup *has = j->setup;
    const struct invariants *see = j->judge;
    bool is_open = has->has_open && is_on(&see->open);
    bool is_near_open = has->has_nearly_open && is_on(&see->nearly_open);
    bool is_near_seat = has->has_nearly_seated && is_on(&see->nearly_seated);
    bool is_withdrawn = has->has_withdrawn && is_on(&see->withdrawn);
    double tolerance_frac = has->motion.position_tolerance_frac;
    double place_frac = has->motion.has_position ? j->in->position_frac : NAN;

    bool is_seat_wrong = is_open || is_near_open ||
                         (has->has_nearly_seated && is_off(&see->nearly_seated)) ||
                         fabs(place_frac) > tolerance_frac;
    bool is_open_wrong = is_near_seat || (has->has_nearly_open && is_off(&see->nearly_open)) ||
                         fabs(place_frac - 1) > tolerance_frac;
    return (is_on(&see->seated) && is_seat_wrong) || (is_open && is_open_wrong) ||
           (is_near_seat && is_near_open) ||
           (is_on(&see->locked) && (is_withdrawn || is_off(&see->seated)));
}

static bool is_stop_circuit_open(const struct judged *j) {
    return j->setup->has_stop_circuit && j->in->stop_circuit != LEVEL_ON;
}

static const char *judge_distrust(const struct judged *j) {
    j->judge->is_distrusted = is_any_missing(j) || is_any_contradicted(j) ||
                              j->in->is_device_lost || is_stop_circuit_open(j);
    if (!j->judge->is_distrusted) {
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

static const char *judge_stops(const struct judged *j, const struct bridge_request *request) {
    bool is_stop = request->kind == REQUEST_STOP || request->kind == REQUEST_EMERGENCY_STOP ||
                   is_stop_circuit_open(j);
    if (is_stop && (j->out->lift_effort != 0 || j->out->lock != LOCK_DRIVE_REST)) {
        return "S9: a stop did not act in its own step";
    }
    return NULL;
}

static void remember(const struct judged *j) {
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (j->judge->before.track[t].end[e].signal_proceed &&
                !j->out->track[t].end[e].signal_proceed && is_train_coming(j, t, e)) {
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
    const char *const found[] = {judge_signals(&j), judge_power(&j),    judge_lift(&j),
                                 judge_lock(&j),    judge_distrust(&j), judge_stops(&j, request)};
    remember(&j);
    for (size_t i = 0; i < sizeof found / sizeof found[0]; i++) {
        if (found[i] != NULL) {
            return found[i];
        }
    }
    return NULL;
}
