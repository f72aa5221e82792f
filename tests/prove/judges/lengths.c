#include "prove/judges/lengths.h"

#include "prove/judges/phases.h"

#include <math.h>
#include <stddef.h>

/* ---- phases: the longest time of each, and the shortest warning */

static bool is_asked_anew(const struct judged *j) {
    enum bridge_request_kind kind = j->request->kind;
    bool is_new = kind == REQUEST_RAISE || kind == REQUEST_LOWER || kind == REQUEST_THROTTLE_UP ||
                  kind == REQUEST_THROTTLE_DOWN;
    return is_new && j->answer == ANSWER_GRANTED;
}

static const char *judge_phase(struct lengths *l, const struct judged *j) {
    bool is_same = j->after->phase == j->before->phase && !is_asked_anew(j);
    uint32_t limit_us = phases_longest_us(j->setup, j->before->phase);
    bool is_by_hand = j->before->throttle.share > 0 && j->out_before->lift_effort != 0;
    l->phase_us += is_by_hand ? (uint32_t)(j->dt_us * j->before->throttle.share) : j->dt_us;
    bool is_over = limit_us > 0 && l->phase_us >= limit_us;
    bool is_short = j->before->phase == PHASE_WARNING && j->after->phase == PHASE_UNLOCKING &&
                    l->phase_us < j->setup->warning_us;
    if (!is_same) {
        l->phase_us = 0;
    }
    if (is_short) {
        return "the warning is shorter than it must be";
    }
    return is_same && is_over && phases_is_overdue(j) ? "a phase outlasts its longest time" : NULL;
}

/* ---- the horn (33 CFR 83.32 for what is short and prolonged): one prolonged and one short blast
 * before it opens, five short ones before it closes, each heard whole */

static void hear(struct lengths *l, const struct judged *j) {
    if (l->was_horn && l->blast_us + j->dt_us >= j->setup->prolonged_blast_us) {
        l->blast_us = j->setup->prolonged_blast_us;
    } else if (l->was_horn) {
        l->blast_us += j->dt_us;
    }
    if (l->was_horn && !j->out->horn) {
        bool is_long = l->blast_us >= j->setup->prolonged_blast_us;
        l->blasts[is_long] += l->blast_us >= j->setup->short_blast_us ? 1 : 0;
    }
    if (!l->was_horn || !j->out->horn) {
        l->blast_us = 0;
    }
    l->was_horn = j->out->horn;
}

static const char *judge_horn(struct lengths *l, const struct judged *j) {
    hear(l, j);
    bool is_down = j->before->goal == GOAL_DOWN;
    bool is_whole = is_down ? l->blasts[0] >= 5 : l->blasts[0] == 1 && l->blasts[1] == 1;
    bool begins = j->before->phase == PHASE_WARNING && j->after->phase == PHASE_UNLOCKING;
    if (j->after->phase != PHASE_WARNING || j->before->phase != PHASE_WARNING) {
        l->blasts[0] = l->blasts[1] = 0;
    }
    return begins && !is_whole ? "the horn's signal was not sounded whole" : NULL;
}

/* ---- proofs that are missing */

static bool is_overdue(uint32_t *missing_us, bool is_missing, uint32_t limit_us, uint32_t dt_us) {
    *missing_us = !is_missing ? 0 : *missing_us == 0 ? 1 : *missing_us + dt_us;
    return *missing_us > limit_us;
}

static const char *judge_proofs(struct lengths *l, const struct judged *j) {
    bool is_signal = false;
    bool is_power = j->setup->track[0].has_span_power_proof &&
                    !j->out_before->track[0].span_power && j->in->track[0].span_dead != LEVEL_ON;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        const struct track_end_setup *has = &j->setup->track[0].end[e];
        const struct track_end_outputs *before = &j->out_before->track[0].end[e];
        const struct track_end_inputs *in = &j->in->track[0].end[e];
        is_signal = is_signal || (has->is_used && has->has_signal_proof &&
                                  !before->signal_proceed && in->signal_at_stop != LEVEL_ON);
    }
    uint32_t limit_us = j->setup->proof_limit_us;
    bool is_late = is_overdue(&l->signal_missing_us, is_signal, limit_us, j->dt_us);
    is_late = is_overdue(&l->power_missing_us, is_power, limit_us, j->dt_us) || is_late;
    return is_late && j->after->phase != PHASE_FAULT
               ? "a proof is missing for longer than it may take, and no fault is latched"
               : NULL;
}

/* ---- the movement. `j->out_before` says what was driven while `dt_us` passed */

static bool is_pushing(const struct judged *j) {
    return j->before->phase == PHASE_SEATING && j->proved->is_seated;
}

static const char *judge_push(struct lengths *l, const struct judged *j) {
    if (is_pushing(j)) {
        l->pushed_us += j->dt_us;
    } else if (j->before->phase != PHASE_SEATING) {
        l->pushed_us = 0;
    }
    if (j->after->phase == PHASE_SEATING && j->proved->is_seated &&
        fabs(j->out->lift_effort + j->setup->motion.effort_push) > 1e-9) {
        return "the span is not pushed into its seat as it should be";
    }
    bool is_over = j->before->phase == PHASE_SEATING && j->after->phase == PHASE_LOCKING;
    bool is_short = is_over && l->pushed_us < j->setup->motion.push_us && !is_asked_anew(j);
    return is_short ? "the span is pushed into its seat too shortly" : NULL;
}

static const char *judge_jog(struct lengths *l, const struct judged *j) {
    bool is_jog = j->request->kind == REQUEST_JOG_UP || j->request->kind == REQUEST_JOG_DOWN;
    l->jog_left_us = l->jog_left_us > j->dt_us ? l->jog_left_us - j->dt_us : 0;
    if (is_jog && j->answer == ANSWER_GRANTED) {
        l->jog_left_us = JOG_US;
    }
    bool is_jogged = j->after->phase == PHASE_HELD && j->out->lift_effort != 0;
    return is_jogged && l->jog_left_us == 0 ? "a jog outlasts its time" : NULL;
}

static bool may_be_run(enum bridge_phase phase) {
    return phase >= PHASE_CLEARING && phase <= PHASE_SEATING && phase != PHASE_OPEN;
}

/* Who runs it by hand must keep asking. A request of another takes it out of the hand, an end of
 * the movement too. */
static const char *judge_throttle(struct lengths *l, const struct judged *j) {
    enum bridge_request_kind kind = j->request->kind;
    bool is_begun = kind == REQUEST_THROTTLE_UP || kind == REQUEST_THROTTLE_DOWN;
    bool is_granted = j->answer == ANSWER_GRANTED || j->answer == ANSWER_ALREADY;
    l->throttle_left_us = l->throttle_left_us > j->dt_us ? l->throttle_left_us - j->dt_us : 0;
    bool is_other = (kind == REQUEST_RAISE || kind == REQUEST_LOWER) && j->answer == ANSWER_GRANTED;
    if (bridge_request_lets_go(j->request)) {
        l->throttle_left_us = 0;
    } else if (is_granted &&
               (is_begun || (kind == REQUEST_THROTTLE_HOLD && l->throttle_left_us > 0))) {
        l->throttle_left_us = THROTTLE_US;
        l->throttle_share = j->request->share;
    } else if (is_other || !may_be_run(j->after->phase)) {
        l->throttle_left_us = 0;
        l->throttle_share = 0;
    }
    bool is_run = l->throttle_share > 0 && j->out->lift_effort != 0;
    if (is_run && l->throttle_left_us == 0) {
        return "a throttle's run outlasts the hand";
    }
    const struct motion_setup *m = &j->setup->motion;
    double most = m->effort_start + (m->effort_full - m->effort_start) * l->throttle_share;
    bool is_pushed = j->after->phase == PHASE_SEATING && j->proved->is_seated;
    return is_run && !is_pushed && fabs(j->out->lift_effort) > most + 1e-9
               ? "driven harder than the hand asks"
               : NULL;
}

/* No harder than for a speed from which it can still creep where it must. */
static const char *judge_effort(const struct judged *j) {
    const struct motion_setup *m = &j->setup->motion;
    double effort = fabs(j->out->lift_effort);
    if (effort == 0 || is_pushing(j) || j->after->phase == PHASE_SEATING) {
        return NULL;
    }
    double position = m->has_position ? j->in->position_frac : j->after->motion.position_frac;
    double zone = j->out->lift_effort > 0 ? 1 - m->slow_zone_open_frac - position
                                          : position - m->slow_zone_seat_frac;
    double creep = m->creep_speed_frac_s;
    bool may_run = j->after->motion.is_known && j->after->phase != PHASE_HELD;
    double most = may_run ? fmin(m->full_speed_frac_s,
                                 sqrt(creep * creep + 2 * m->deceleration_frac_s2 * fmax(zone, 0)))
                          : creep;
    double most_effort =
        m->effort_start + (m->effort_full - m->effort_start) * most / m->full_speed_frac_s;
    return effort > most_effort + 1e-9 ? "driven harder than it may be at this place" : NULL;
}

static int driven(const struct judged *j) {
    return j->out_before->lift_effort > 0 ? 1 : j->out_before->lift_effort < 0 ? -1 : 0;
}

/* Whoever drives a motor that does not turn must learn of it, though it is driven by short jogs. A
 * pause that is shorter than the watch does not wipe out what was counted before it; between jogs
 * no pause does. Only what is certain is counted: a look after another in which it was driven so,
 * and of jogs those that have come up to creep. */
static void note_pause(struct lengths *l, const struct judged *j) {
    const struct motion_setup *m = &j->setup->motion;
    bool is_jogging = j->before->phase == PHASE_HELD;
    l->paused_us = driven(j) != 0 || is_jogging ? 0 : l->paused_us + j->dt_us;
    if (l->paused_us >= m->stall_us) {
        l->stalled_us = 0;
    }
    if (l->paused_us >= m->no_movement_us) {
        l->stuck_us[0] = l->stuck_us[1] = 0;
    }
}

static bool is_stalled(struct lengths *l, const struct judged *j) {
    const struct motion_setup *m = &j->setup->motion;
    bool is_watched = m->has_current && driven(j) != 0 && !is_pushing(j);
    bool is_high = is_watched && j->in->current_a >= m->stall_a;
    if (is_high && l->was_high) {
        l->stalled_us += j->dt_us;
    } else if (is_watched && !is_high) {
        l->stalled_us = 0;
    }
    l->was_high = is_high;
    return is_high && l->stalled_us >= m->stall_us;
}

/* As much effort as creep needs. */
static bool is_at_creep(const struct judged *j) {
    const struct motion_setup *m = &j->setup->motion;
    double share = m->creep_speed_frac_s / m->full_speed_frac_s;
    double creep = m->effort_start + (m->effort_full - m->effort_start) * share;
    return fabs(j->out_before->lift_effort) >= creep - 1e-9;
}

static bool is_stuck(struct lengths *l, const struct judged *j) {
    const struct motion_setup *m = &j->setup->motion;
    int way = driven(j) < 0;
    bool is_watched = m->has_position && driven(j) != 0 && !is_pushing(j);
    bool begins = driven(j) != l->last_driven;
    l->last_driven = driven(j);
    if (begins && l->is_fresh[way] && is_watched) { /* the first start after a movement */
        l->stuck_us[way] = 0;
        l->is_fresh[way] = false;
    }
    if (!is_watched) {
        l->was_driven = 0;
        return false;
    }
    if (l->stuck_us[way] == 0 && l->was_driven != driven(j)) {
        l->from_frac[way] = l->position_frac; /* where it was before */
    }
    bool has_moved = driven(j) * (j->in->position_frac - l->from_frac[way]) >= m->no_movement_frac;
    bool counts = l->was_driven == driven(j) && (j->before->phase != PHASE_HELD || is_at_creep(j));
    l->was_driven = driven(j);
    l->has_gone = has_moved;
    if (has_moved) { /* the next look without movement is the first */
        l->was_driven = 0;
        l->is_fresh[0] = l->is_fresh[1] = true;
        l->stuck_us[0] = l->stuck_us[1] = 0;
        l->from_frac[0] = l->from_frac[1] = j->in->position_frac;
    } else if (counts) {
        l->stuck_us[way] += j->dt_us;
    }
    return l->stuck_us[way] >= m->no_movement_us;
}

static bool is_too_fast(const struct lengths *l, const struct judged *j) {
    const struct motion_setup *m = &j->setup->motion;
    double gone_frac = fabs(j->in->position_frac - l->position_frac);
    return m->has_position && driven(j) != 0 && l->has_moved &&
           gone_frac / (j->dt_us / 1e6) > m->full_speed_frac_s * m->overspeed_ratio + 1e-9;
}

/* Driven on beyond an end; back from it, it may always be driven. */
static bool is_beyond(const struct judged *j) {
    const struct motion_setup *m = &j->setup->motion;
    double position = j->in->position_frac;
    bool is_out = j->setup->has_overtravel && j->in->within_travel != LEVEL_ON;
    return driven(j) > 0   ? (is_out && position > 0.5) || position > 1 + m->overtravel_frac
           : driven(j) < 0 ? (is_out && position <= 0.5) || position < -m->overtravel_frac
                           : false;
}

enum { SETTLED_US = 1000000 };

static bool is_drifted(struct lengths *l, const struct judged *j) {
    enum bridge_phase phase = j->before->phase;
    bool is_held = phase == PHASE_OPEN || phase == PHASE_HELD || phase == PHASE_CLEARING ||
                   phase == PHASE_CUTTING || phase == PHASE_WARNING;
    l->rested_us = driven(j) != 0 || !is_held ? 0 : l->rested_us + j->dt_us;
    if (l->rested_us <= SETTLED_US + j->dt_us) {
        l->rest_frac = j->in->position_frac;
    }
    return j->setup->motion.has_position && is_held && driven(j) == 0 &&
           fabs(j->in->position_frac - l->rest_frac) > j->setup->motion.drift_frac;
}

/* What the watches over the movement must find in this step: a bit for each fault. */
static uint32_t find_all(struct lengths *l, const struct judged *j) {
    uint32_t found = 0;
    note_pause(l, j);
    found |= is_stalled(l, j) ? 1u << FAULT_STALL : 0;
    found |= is_stuck(l, j) ? 1u << FAULT_NO_MOVEMENT : 0;
    found |= is_too_fast(l, j) ? 1u << FAULT_OVERSPEED : 0;
    found |= is_beyond(j) ? 1u << FAULT_OVERTRAVEL : 0;
    found |= is_drifted(l, j) ? 1u << FAULT_DRIFT : 0;
    return found;
}

/* A fault of the movement that was none: the current was not high, the span moved as it should, and
 * so on. */
static bool is_false_alarm(const struct lengths *l, const struct judged *j, uint32_t found) {
    const struct motion_setup *m = &j->setup->motion;
    switch (j->after->fault) {
    case FAULT_STALL:
        return !(m->has_current && j->in->current_a >= m->stall_a && driven(j) != 0);
    case FAULT_NO_MOVEMENT:
        return driven(j) == 0 ||
               (m->has_position && l->has_gone &&
                driven(j) * (j->in->position_frac - l->position_frac) >= m->no_movement_frac);
    case FAULT_OVERSPEED:
    case FAULT_OVERTRAVEL:
        return (1u << j->after->fault & found) == 0;
    default:
        return false;
    }
}

static const char *judge_watches(struct lengths *l, const struct judged *j) {
    uint32_t found = find_all(l, j);
    bool is_fault = j->after->phase == PHASE_FAULT;
    bool is_false = judged_is_entered(j, PHASE_FAULT) && is_false_alarm(l, j, found);
    l->position_frac = j->in->position_frac;
    l->has_moved = isfinite(l->position_frac);
    if (found != 0 && !is_fault && j->after->phase != PHASE_UNPROVED) {
        return "a movement went wrong, and no fault is latched";
    }
    return is_false ? "a fault of the movement is latched that was none" : NULL;
}

/* Approach locking holds as long as it must, and no longer. */
static const char *judge_lock(const struct judged *j) {
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        if (j->after->track[0].end[e].approach_lock_us > j->seen->track[0].end[e].lock_left_us) {
            return "approach locking runs longer than it must";
        }
    }
    return NULL;
}

/* Where a word is taken, somebody looks: one is too old there only after a gap. */
static const char *judge_word(const struct judged *j) {
    enum bridge_phase phase = j->before->phase;
    bool is_taken = phase == PHASE_CLEARING || phase == PHASE_HELD || phase == PHASE_OPEN;
    bool is_refused = j->answer == ANSWER_TOO_OLD && j->seen->word_barred_left_us == 0;
    return is_taken && is_refused ? "somebody's word is refused as too old and is not" : NULL;
}

const char *lengths_broken(struct lengths *l, const struct judged *j) {
    const char *const found[] = {judge_phase(l, j), judge_horn(l, j),    judge_proofs(l, j),
                                 judge_push(l, j),  judge_jog(l, j),     judge_throttle(l, j),
                                 judge_effort(j),   judge_watches(l, j), judge_lock(j),
                                 judge_word(j)};
    for (size_t i = 0; i < sizeof found / sizeof found[0]; i++) {
        if (found[i] != NULL) {
            return found[i];
        }
    }
    return NULL;
}

static void cap(uint32_t *time_us, uint32_t most_us) {
    *time_us = *time_us > most_us ? most_us : *time_us;
}

void lengths_cap(const struct bridge_setup *setup, enum bridge_phase phase, struct lengths *l) {
    uint32_t phase_us =
        phase == PHASE_WARNING ? setup->warning_us : phases_longest_us(setup, phase);
    cap(&l->phase_us, phase_us);
    cap(&l->signal_missing_us, setup->proof_limit_us + 1);
    cap(&l->power_missing_us, setup->proof_limit_us + 1);
    cap(&l->pushed_us, setup->motion.push_us);
    cap(&l->stalled_us, setup->motion.stall_us);
    cap(&l->stuck_us[0], setup->motion.no_movement_us);
    cap(&l->stuck_us[1], setup->motion.no_movement_us);
    cap(&l->paused_us, setup->motion.stall_us + setup->motion.no_movement_us);
    for (int way = 0; way < 2; way++) { /* where nothing is counted it begins anew */
        bool is_counted = l->stuck_us[way] > 0 || l->was_driven == 1 - 2 * way;
        l->from_frac[way] = is_counted ? l->from_frac[way] : 0;
    }
    cap(&l->rested_us, 2 * SETTLED_US + 1);
    if (phase != PHASE_WARNING) { /* the horn is judged there alone */
        l->was_horn = false;
        l->blast_us = 0;
    }
}
