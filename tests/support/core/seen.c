#include "support/core/seen.h"

#include <math.h>
#include <stddef.h>

/* ---- clocks; the time before a thing was first seen to be so does not count, nor does the time by
 * which a look came too late */

static uint32_t longer(uint32_t time_us, uint32_t dt_us) {
    return time_us > UINT32_MAX - dt_us ? UINT32_MAX : time_us + dt_us;
}

static uint32_t shorter(uint32_t time_us, uint32_t dt_us) {
    return time_us > dt_us ? time_us - dt_us : 0;
}

static uint32_t looked_us(const struct looked *look) {
    return shorter(look->dt_us, look->in->late_us);
}

/* Nobody looked for too long. */
static bool is_gap(const struct looked *look) {
    return look->dt_us - looked_us(look) > LATE_MOST_US;
}

static void see_while(struct judged_while *it, bool is_so, uint32_t dt_us) {
    it->for_us = is_so && it->was_so ? longer(it->for_us, dt_us) : 0;
    it->was_so = is_so;
}

/* Something that was put out: it was so since the step before, unless the device was lost. */
static void see_told(const struct looked *look, struct judged_while *it, bool is_told) {
    bool is_lost = look->in->is_device_lost;
    bool counts = is_told && !is_lost && !look->seen->was_lost;
    it->for_us = counts ? longer(it->for_us, looked_us(look)) : 0;
    it->was_so = is_told && !is_lost;
}

static bool is_long(const struct judged_while *it, uint32_t limit_us) {
    return it->was_so && it->for_us >= limit_us;
}

/* ---- contacts */

static void see_contact(const struct looked *look, struct judged_contact *contact,
                        enum level reading) {
    contact->held_for_us =
        reading == contact->reading ? longer(contact->held_for_us, looked_us(look)) : 0;
    contact->reading = reading;
    bool holds = reading == LEVEL_UNKNOWN || contact->held_for_us >= look->setup->debounce_us;
    if (holds) {
        contact->believed = reading;
    }
    see_while(&contact->unsettled, !holds && contact->believed != LEVEL_UNKNOWN, look->dt_us);
    if (is_long(&contact->unsettled, BRIDGE_UNSETTLED_MAX_US)) {
        contact->believed = LEVEL_UNKNOWN;
    }
}

static bool is_on(const struct judged_contact *contact) {
    return contact->believed == LEVEL_ON;
}

static bool is_off(const struct judged_contact *contact) {
    return contact->believed == LEVEL_OFF;
}

static void see_contacts(const struct looked *look) {
    struct seen *seen = look->seen;
    see_contact(look, &seen->seated, look->in->seated);
    see_contact(look, &seen->locked, look->in->locked);
    see_contact(look, &seen->withdrawn, look->in->withdrawn);
    see_contact(look, &seen->open, look->in->open);
    see_contact(look, &seen->nearly_seated, look->in->nearly_seated);
    see_contact(look, &seen->nearly_open, look->in->nearly_open);
    see_contact(look, &seen->within_travel, look->in->within_travel);
    for (unsigned i = 0; i < look->setup->rails; i++) {
        see_contact(look, &seen->rail[i], look->in->rail[i]);
    }
}

/* ---- the lock bar: by its contacts; where one is missing, by the time for which it was driven
 * that way, until it is driven the other way or nobody knows what the drive did */

static bool is_denied(bool has_contact, const struct judged_contact *contact) {
    return has_contact && !is_off(contact);
}

static void see_bar(const struct looked *look) {
    struct seen *seen = look->seen;
    const struct bridge_setup *has = look->setup;
    enum lock_drive put_out = seen->before.lock;
    bool is_lost = look->in->is_device_lost;
    bool is_resting = put_out == LOCK_DRIVE_REST; /* on its way it leaves the other contact late */
    see_told(look, &seen->driven_in, put_out == LOCK_DRIVE_DRIVEN);
    see_told(look, &seen->driven_out, put_out == LOCK_DRIVE_WITHDRAWN);
    seen->is_bar_in = (seen->is_bar_in || is_long(&seen->driven_in, has->lock_limit_us)) &&
                      put_out != LOCK_DRIVE_WITHDRAWN && !is_lost && is_on(&seen->seated) &&
                      !(is_resting && is_denied(has->has_withdrawn, &seen->withdrawn));
    seen->is_bar_out = (seen->is_bar_out || is_long(&seen->driven_out, has->lock_limit_us)) &&
                       put_out != LOCK_DRIVE_DRIVEN && !is_lost &&
                       !(is_resting && is_denied(has->has_locked, &seen->locked));
}

static bool is_locked(const struct looked *look) {
    if (!look->setup->has_lock) {
        return is_on(&look->seen->seated);
    }
    return look->setup->has_locked ? is_on(&look->seen->locked)
                                   : look->seen->is_bar_in && !is_denied(look->setup->has_withdrawn,
                                                                         &look->seen->withdrawn);
}

static bool is_withdrawn(const struct looked *look) {
    if (!look->setup->has_lock) {
        return true;
    }
    return look->setup->has_withdrawn
               ? is_on(&look->seen->withdrawn)
               : look->seen->is_bar_out && !is_denied(look->setup->has_locked, &look->seen->locked);
}

/* ---- signals, power, sections */

static bool is_clear(const struct looked *look, const struct judged_while *clear) {
    return is_long(clear, look->setup->clear_us);
}

bool seen_is_at_stop(const struct looked *look, unsigned t, unsigned e) {
    if (look->seen->before.track[t].end[e].signal_proceed) {
        return false;
    }
    return look->setup->track[t].end[e].has_signal_proof
               ? look->in->track[t].end[e].signal_at_stop == LEVEL_ON
               : is_long(&look->seen->track[t].end[e].told_stop, look->setup->proof_limit_us);
}

bool seen_is_stop_dead(const struct looked *look, unsigned t, unsigned e) {
    if (look->seen->before.track[t].end[e].stop_power) {
        return false;
    }
    return look->setup->track[t].end[e].has_stop_power_proof
               ? look->in->track[t].end[e].stop_dead == LEVEL_ON
               : is_long(&look->seen->track[t].end[e].told_off, look->setup->proof_limit_us);
}

bool seen_is_span_dead(const struct looked *look, unsigned t) {
    if (look->seen->before.track[t].span_power) {
        return false;
    }
    return look->setup->track[t].has_span_power_proof
               ? look->in->track[t].span_dead == LEVEL_ON
               : is_long(&look->seen->track[t].told_off, look->setup->proof_limit_us);
}

bool seen_is_stop_clear(const struct looked *look, unsigned t, unsigned e) {
    return !look->setup->track[t].end[e].has_stop_detector ||
           is_clear(look, &look->seen->track[t].end[e].stop_clear);
}

bool seen_is_span_clear(const struct looked *look, unsigned t) {
    return !look->setup->track[t].has_span_detector ||
           is_clear(look, &look->seen->track[t].span_clear);
}

static bool is_used(const struct looked *look, unsigned t, unsigned e) {
    return look->setup->track[t].end[e].is_used;
}

bool seen_is_watched_whole(const struct track_setup *track) {
    bool is_whole = track->has_span_detector;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        is_whole = is_whole && (!track->end[e].is_used || track->end[e].has_stop_detector);
    }
    return is_whole;
}

bool seen_has_run_out(const struct looked *look, unsigned t) {
    return seen_is_watched_whole(&look->setup->track[t]) || look->seen->track[t].has_run_out ||
           look->seen->word_left_us > 0;
}

static bool is_track_occupied(const struct looked *look, unsigned t) {
    const struct track_setup *has = &look->setup->track[t];
    bool is_any = has->has_span_detector && look->in->track[t].span_clear != LEVEL_ON;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        is_any = is_any || (has->end[e].is_used && has->end[e].has_stop_detector &&
                            look->in->track[t].end[e].stop_clear != LEVEL_ON);
    }
    return is_any;
}

/* ---- one end: detectors, what it was told, approach locking */

static bool is_train_coming(const struct looked *look, unsigned t, unsigned e) {
    return !look->setup->track[t].end[e].has_approach_detector ||
           !is_clear(look, &look->seen->track[t].end[e].approach_clear);
}

/* It was told to show stop, and nobody can say yet that it does. */
static bool is_stop_doubtful(const struct looked *look, unsigned t, unsigned e) {
    bool is_told = !look->seen->before.track[t].end[e].signal_proceed;
    return look->in->is_device_lost || (is_told && !seen_is_at_stop(look, t, e));
}

static void see_end(const struct looked *look, unsigned t, unsigned e) {
    const struct track_end_inputs *in = &look->in->track[t].end[e];
    const struct track_end_setup *has = &look->setup->track[t].end[e];
    const struct track_end_outputs *before = &look->seen->before.track[t].end[e];
    struct seen_end *end = &look->seen->track[t].end[e];
    uint32_t dt_us = looked_us(look);
    bool was_clear = end->approach_clear.was_so;
    see_while(&end->approach_clear, in->approach_clear == LEVEL_ON, dt_us);
    end->is_just_left = has->has_approach_detector && end->approach_clear.was_so &&
                        !(was_clear && is_clear(look, &end->approach_clear));
    see_while(&end->stop_clear, in->stop_clear == LEVEL_ON, dt_us);
    see_told(look, &end->told_stop, !before->signal_proceed);
    see_told(look, &end->told_off, !before->stop_power);

    /* What showed before the start is not known: as if it had been proceed until then (S6). */
    uint32_t left_us = look->seen->has_begun ? end->lock_left_us : has->approach_lock_us;
    end->lock_left_us = shorter(left_us, end->was_doubtful ? 0 : dt_us);
    end->was_doubtful = is_stop_doubtful(look, t, e);
    if (has->has_standing_detector && in->standing == LEVEL_ON) {
        end->lock_left_us = 0;
    }
    if (end->was_doubtful && is_train_coming(look, t, e)) {
        end->lock_left_us = has->approach_lock_us;
    }
}

/* ---- tracks that are not watched whole */

static bool are_track_signals_at_stop(const struct looked *look, unsigned t) {
    bool are_all = true;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        are_all = are_all && (!is_used(look, t, e) || seen_is_at_stop(look, t, e));
    }
    return are_all && !look->in->is_device_lost;
}

static bool is_track_powered(const struct looked *look, unsigned t) {
    return look->seen->before.track[t].span_power;
}

/* Power that no proof denies: only then trains leave. */
static bool is_track_live(const struct looked *look, unsigned t) {
    const struct track_setup *has = &look->setup->track[t];
    const struct track_inputs *in = &look->in->track[t];
    bool is_dead = has->has_span_power_proof && in->span_dead == LEVEL_ON;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        is_dead = is_dead || (has->end[e].is_used && has->end[e].has_stop_power_proof &&
                              in->end[e].stop_dead == LEVEL_ON);
    }
    return is_track_powered(look, t) && !is_dead;
}

/* Trains leave while signals are at stop, power is on and somebody looks; one that leaves an
 * approach meanwhile has come after all. Where power is off nothing comes and nothing goes: what
 * had run out stays so. (That power outside an opening ends it, too, lest a hand bring a train:
 * prove/judges/phases.h.) `is_said`: somebody's word holds, or held until this step.
 */
static void see_run_out(const struct looked *look, unsigned t, bool is_said) {
    struct seen_track *track = &look->seen->track[t];
    uint32_t limit_us = look->setup->track[t].run_out_us;
    if (!are_track_signals_at_stop(look, t)) {
        track->running_out = (struct judged_while){0};
        track->has_run_out = false;
        return;
    }
    bool is_leaving = is_track_live(look, t);
    if (is_leaving && track->running_out.was_so) {
        track->running_out.for_us = longer(track->running_out.for_us, looked_us(look));
    }
    track->running_out.was_so = is_leaving;
    bool may_come = is_gap(look) || track->end[0].is_just_left || track->end[1].is_just_left;
    if (is_track_powered(look, t) && may_come) {
        track->running_out.for_us = 0;
        track->has_run_out = false;
    }
    track->has_run_out = track->has_run_out ||
                         (limit_us > 0 && track->running_out.for_us >= limit_us) ||
                         (!is_track_powered(look, t) && is_said);
}

static bool is_any_occupied(const struct looked *look) {
    bool is_any = false;
    for (unsigned t = 0; t < look->setup->tracks; t++) {
        is_any = is_any || is_track_occupied(look, t);
    }
    return is_any;
}

/* Somebody's word lapses with whatever it was about. It is good where signals and approach locking
 * keep trains away, no detector tells the contrary, and it cannot be as old as a gap. Returns
 * whether it holds, or held until this step. */
static bool see_word(const struct looked *look) {
    struct seen *seen = look->seen;
    bool may_hold =
        seen->proved.are_signals_at_stop && !look->in->is_device_lost && !seen->proved.is_occupied;
    bool has_held = may_hold && seen->word_left_us > 0;
    seen->word_left_us = may_hold ? shorter(seen->word_left_us, look->dt_us) : 0;
    seen->word_barred_left_us =
        is_gap(look) ? WORD_BARRED_US : shorter(seen->word_barred_left_us, looked_us(look));
    bool may_take = may_hold && seen->word_barred_left_us == 0;
    if (look->request->kind == REQUEST_SEEN_CLEAR && may_take && seen->proved.is_released &&
        !seen->proved.is_distrusted) {
        seen->word_left_us = SEEN_CLEAR_US;
    }
    return has_held || seen->word_left_us > 0;
}

/* ---- S5 */

static bool is_missing(bool is_present, enum level reading) {
    return is_present && reading == LEVEL_UNKNOWN;
}

static bool is_track_input_missing(const struct looked *look, unsigned t) {
    const struct track_setup *has = &look->setup->track[t];
    const struct track_inputs *in = &look->in->track[t];
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

static bool is_any_missing(const struct looked *look) {
    const struct bridge_setup *has = look->setup;
    const struct bridge_inputs *in = look->in;
    const struct seen *seen = look->seen;
    bool is_any = is_missing(true, seen->seated.believed) ||
                  is_missing(has->has_locked, seen->locked.believed) ||
                  is_missing(has->has_withdrawn, seen->withdrawn.believed) ||
                  is_missing(has->has_open, seen->open.believed) ||
                  is_missing(has->has_nearly_seated, seen->nearly_seated.believed) ||
                  is_missing(has->has_nearly_open, seen->nearly_open.believed) ||
                  is_missing(has->has_overtravel, seen->within_travel.believed) ||
                  (has->motion.has_position && !isfinite(in->position_frac)) ||
                  (has->motion.has_current && !isfinite(in->current_a));
    for (unsigned i = 0; i < has->rails; i++) {
        is_any = is_any || is_missing(true, seen->rail[i].believed);
    }
    for (unsigned t = 0; t < has->tracks; t++) {
        is_any = is_any || is_track_input_missing(look, t);
    }
    return is_any;
}

static bool is_any_contradicted(const struct looked *look) {
    const struct bridge_setup *has = look->setup;
    const struct seen *see = look->seen;
    bool is_open = has->has_open && is_on(&see->open);
    bool is_near_open = has->has_nearly_open && is_on(&see->nearly_open);
    bool is_near_seat = has->has_nearly_seated && is_on(&see->nearly_seated);
    bool is_withdrawn = has->has_withdrawn && is_on(&see->withdrawn);
    bool is_locked = has->has_locked && is_on(&see->locked);
    double tolerance_frac = has->motion.position_tolerance_frac;
    double place_frac = has->motion.has_position ? look->in->position_frac : NAN;

    bool is_seat_wrong = is_open || is_near_open ||
                         (has->has_nearly_seated && is_off(&see->nearly_seated)) ||
                         fabs(place_frac) > tolerance_frac;
    bool is_open_wrong = is_near_seat || (has->has_nearly_open && is_off(&see->nearly_open)) ||
                         fabs(place_frac - 1) > tolerance_frac;
    return (is_on(&see->seated) && is_seat_wrong) || (is_open && is_open_wrong) ||
           (is_near_seat && is_near_open) || (is_locked && (is_withdrawn || is_off(&see->seated)));
}

/* The same while something was driven. */
static bool is_too_late(const struct looked *look) {
    const struct bridge_outputs *before = &look->seen->before;
    return is_gap(look) && (before->lift_effort != 0 || before->lock != LOCK_DRIVE_REST);
}

static bool is_distrusted(const struct looked *look) {
    bool is_stop_circuit_open = look->setup->has_stop_circuit && look->in->stop_circuit != LEVEL_ON;
    return is_any_missing(look) || is_any_contradicted(look) || look->in->is_device_lost ||
           is_stop_circuit_open || is_too_late(look);
}

/* ---- all together */

static bool are_rails_proved(const struct looked *look) {
    bool are_all = true;
    for (unsigned i = 0; i < look->setup->rails; i++) {
        are_all = are_all && is_on(&look->seen->rail[i]);
    }
    return are_all;
}

/* By the contact where there is one; a measured position may be off by its tolerance. */
static bool is_open(const struct looked *look) {
    const struct motion_setup *motion = &look->setup->motion;
    if (look->setup->has_open) {
        return is_on(&look->seen->open);
    }
    return motion->has_position && look->in->position_frac >= 1 - motion->position_tolerance_frac;
}

static void prove_span(const struct looked *look, struct proved *proved) {
    proved->is_seated = is_on(&look->seen->seated);
    proved->is_locked = is_locked(look);
    proved->is_withdrawn = is_withdrawn(look);
    proved->are_rails = are_rails_proved(look);
    proved->is_open = is_open(look);
    proved->is_span = proved->is_seated && proved->is_locked && proved->are_rails;
    proved->is_distrusted = is_distrusted(look);
    proved->is_occupied = is_any_occupied(look);
}

static void prove_ends(const struct looked *look, unsigned t, struct proved *proved) {
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        proved->is_coming[t][e] =
            look->setup->track[t].end[e].has_approach_detector && is_train_coming(look, t, e);
        if (is_used(look, t, e)) {
            proved->are_signals_at_stop =
                proved->are_signals_at_stop && seen_is_at_stop(look, t, e);
            proved->is_released =
                proved->is_released && look->seen->track[t].end[e].lock_left_us == 0;
            proved->are_sections_dead = proved->are_sections_dead && seen_is_stop_dead(look, t, e);
            proved->are_sections_clear =
                proved->are_sections_clear && seen_is_stop_clear(look, t, e);
        }
    }
}

static void prove_tracks(const struct looked *look, struct proved *proved) {
    proved->are_signals_at_stop = proved->is_released = true;
    proved->are_sections_clear = proved->are_sections_dead = true;
    for (unsigned t = 0; t < look->setup->tracks; t++) {
        prove_ends(look, t, proved);
        proved->are_sections_dead = proved->are_sections_dead && seen_is_span_dead(look, t);
        proved->are_sections_clear = proved->are_sections_clear && seen_is_span_clear(look, t);
    }
}

void seen_observe(const struct looked *look) {
    struct seen *seen = look->seen;
    see_contacts(look);
    see_bar(look);
    for (unsigned t = 0; t < look->setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (is_used(look, t, e)) {
                see_end(look, t, e);
            }
        }
        see_while(&seen->track[t].span_clear, look->in->track[t].span_clear == LEVEL_ON,
                  looked_us(look));
        see_told(look, &seen->track[t].told_off, !is_track_powered(look, t));
    }
    prove_span(look, &seen->proved);
    prove_tracks(look, &seen->proved);
    seen->proved.are_detectors_clear = seen->proved.are_sections_clear;
    bool is_said = see_word(look);
    for (unsigned t = 0; t < look->setup->tracks; t++) {
        see_run_out(look, t, is_said);
        seen->proved.are_sections_clear =
            seen->proved.are_sections_clear && seen_has_run_out(look, t);
    }
    seen->has_begun = true;
    seen->was_lost = look->in->is_device_lost;
}

void seen_remember(const struct looked *look, const struct bridge_outputs *out) {
    struct seen *seen = look->seen;
    for (unsigned t = 0; t < look->setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (seen->before.track[t].end[e].signal_proceed &&
                !out->track[t].end[e].signal_proceed && is_train_coming(look, t, e)) {
                seen->track[t].end[e].lock_left_us = look->setup->track[t].end[e].approach_lock_us;
            }
        }
    }
    seen->before = *out;
}
