#include "prove/judges/phases.h"

#include <math.h>
#include <stddef.h>

static bool is_driven_phase(enum bridge_phase phase) {
    return phase == PHASE_RAISING || phase == PHASE_LOWERING || phase == PHASE_SEATING;
}

static const char *judge_lined(const struct judged *j) {
    if (j->after->phase == PHASE_LINED && !j->proved->is_span) {
        return "lined though the span is not proved seated, locked and in line";
    }
    if (judged_is_entered(j, PHASE_LINED) && !j->proved->are_signals_at_stop) {
        return "lined before the signals are proved at stop: one of them may not obey";
    }
    bool is_down = j->proved->is_seated && j->proved->is_locked;
    return judged_is_entered(j, PHASE_PROVING) && !is_down
               ? "proving though the span is not seated and locked"
               : NULL;
}

static const char *judge_movement(const struct judged *j) {
    if (j->after->phase == PHASE_OPEN && !j->proved->is_open) {
        return "open though the span is not";
    }
    if (j->setup->is_hand_lifted) {
        return NULL;
    }
    if (is_driven_phase(j->after->phase)) {
        bool is_up = j->after->phase == PHASE_RAISING;
        if (is_up ? !(j->out->lift_effort > 0) : !(j->out->lift_effort < 0)) {
            return "S3: held back in a movement, or driven the wrong way, and no fault latched";
        }
    }
    const struct motion_setup *motion = &j->setup->motion;
    bool is_near = j->proved->is_seated ||
                   (j->setup->has_nearly_seated && j->in->nearly_seated == LEVEL_ON) ||
                   j->after->motion.position_frac <= motion->slow_zone_seat_frac;
    return judged_is_entered(j, PHASE_SEATING) && !is_near
               ? "seating though the span is not near its seat"
               : NULL;
}

/* Between the cut of the power and the lock bar. */
static bool is_about_to_move(enum bridge_phase phase) {
    return phase == PHASE_CUTTING || phase == PHASE_WARNING || phase == PHASE_UNLOCKING;
}

static const char *judge_train_come(const struct judged *j) {
    bool goes_on = is_about_to_move(j->after->phase) && j->before->phase != PHASE_LINED;
    return goes_on && j->proved->is_occupied && !j->setup->is_hand_lifted
               ? "the opening goes on though a train has come"
               : NULL;
}

/* A step that turns an opening round may begin to raise a span that is open still; the next, which
 * follows at once, ends it. */
static const char *judge_beyond(const struct judged *j) {
    bool is_open = j->setup->has_open ? j->proved->is_open : j->in->position_frac >= 1;
    bool goes_on = j->out->lift_effort > 0 && !judged_is_entered(j, PHASE_RAISING);
    return goes_on && is_open ? "driven on though it is open" : NULL;
}

/* Under power outside an opening a hand may bring a train that nobody counts. */
static const char *judge_run_out(const struct judged *j) {
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        const struct watch *run_out = &j->after->track[t].run_out;
        bool is_over = run_out->is_running && run_out->left_us == 0;
        bool stays_powered = j->before->track[t].is_powered && j->after->track[t].is_powered;
        if (is_over && stays_powered && j->before->phase != PHASE_CLEARING) {
            return "a track counts as run out though it has been powered since";
        }
    }
    return NULL;
}

const char *phases_are_true(const struct judged *j) {
    judgement *const all[] = {judge_lined, judge_movement, judge_train_come, judge_beyond,
                              judge_run_out};
    const char *broken = NULL;
    for (size_t i = 0; broken == NULL && i < sizeof all / sizeof all[0]; i++) {
        broken = all[i](j);
    }
    return broken;
}

/* A fault may be acknowledged in the very step that latches it. */
const char *phases_cut_no_train_off(const struct judged *j) {
    bool is_off = j->out_before->track[0].span_power && !j->out->track[0].span_power;
    bool has_cause = j->after->phase == PHASE_FAULT || j->request->kind == REQUEST_ACKNOWLEDGE ||
                     !j->after->is_power_wanted || !j->proved->is_span;
    bool are_away =
        j->proved->are_signals_at_stop && j->proved->is_released && j->proved->are_sections_clear;
    return is_off && !has_cause && !are_away ? "power is cut though trains are not away" : NULL;
}

static bool is_turned(const struct judged *j, unsigned t, unsigned e) {
    const struct track_end_outputs *before = j->out_before->track[t].end;
    bool had_it_alone = before[e].signal_proceed && !before[1 - e].signal_proceed;
    return had_it_alone && j->proved->is_coming[t][e] &&
           j->after->track[t].end[e].is_proceed_wanted &&
           j->out->track[t].end[1 - e].signal_proceed;
}

const char *phases_meet_no_trains(const struct judged *j) {
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        const struct track_end_outputs *end = j->out->track[t].end;
        bool is_any_coming = j->proved->is_coming[t][0] || j->proved->is_coming[t][1];
        if (end[0].signal_proceed && end[1].signal_proceed && is_any_coming) {
            return "proceed from both ends though a train comes from one";
        }
        if (is_turned(j, t, 0) || is_turned(j, t, 1)) {
            return "a train that had proceed is turned for a later one";
        }
    }
    return NULL;
}

/* ---- longest times: a table apart from the core's */

/* Longer than it should take where it must creep all the way. */
static uint32_t longest_travel_us(const struct bridge_setup *setup) {
    double creeping_us = 1.5e6 / setup->motion.creep_speed_frac_s;
    return (uint32_t)fmax(creeping_us, setup->motion.travel_limit_us);
}

/* Where no contact tells, the drive is on for the whole time; and then something may be amiss. */
static uint32_t longest_bar_us(const struct bridge_setup *setup, bool has_contact) {
    bool is_driven = setup->has_lock && setup->has_lock_drive;
    return !is_driven ? 0 : has_contact ? setup->lock_limit_us : 2 * setup->lock_limit_us;
}

uint32_t phases_longest_us(const struct bridge_setup *setup, enum bridge_phase phase) {
    switch (phase) {
    case PHASE_CLEARING:
        return setup->clearing_limit_us;
    case PHASE_PROVING:
        return setup->proof_limit_us;
    case PHASE_UNLOCKING:
        return longest_bar_us(setup, setup->has_withdrawn);
    case PHASE_LOCKING:
        return longest_bar_us(setup, setup->has_locked);
    case PHASE_RAISING:
    case PHASE_LOWERING:
        return setup->is_hand_lifted ? 0 : longest_travel_us(setup);
    case PHASE_SEATING:
        return setup->is_hand_lifted ? 0 : setup->motion.seat_limit_us;
    case PHASE_UNPROVED:
    case PHASE_LINED:
    case PHASE_CUTTING:
    case PHASE_WARNING:
    case PHASE_OPEN:
    case PHASE_HELD:
    case PHASE_FAULT:
    case BRIDGE_PHASES:
        break;
    }
    return 0;
}

/* While proving it is the rails that have a longest time; a signal's proof has one of its own. */
bool phases_is_overdue(const struct judged *j) {
    bool is_same = j->after->phase == j->before->phase;
    bool is_waited_for = j->before->phase != PHASE_PROVING || !j->proved->are_rails;
    return is_same && is_waited_for && phases_longest_us(j->setup, j->before->phase) > 0;
}

const char *phases_end_in_time(const struct judged *j) {
    if (j->ends->phase_limit && j->request->kind == REQUEST_NONE && phases_is_overdue(j)) {
        return "a phase outlasts its longest time";
    }
    bool is_faulty = j->after->phase == PHASE_FAULT || j->before->phase == PHASE_FAULT ||
                     j->request->kind == REQUEST_ACKNOWLEDGE;
    bool is_signal_late = j->ends->signal_proof && !j->proved->are_signals_at_stop;
    bool is_power_late = j->ends->power_proof && !j->proved->are_sections_dead;
    return (is_signal_late || is_power_late) && !is_faulty
               ? "a proof is missing for longer than it may take, and no fault is latched"
               : NULL;
}
