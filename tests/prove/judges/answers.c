#include "prove/judges/answers.h"

#include <math.h>
#include <stddef.h>

static bool is_granted(const struct judged *j, enum bridge_request_kind kind) {
    return j->request->kind == kind && j->answer == ANSWER_GRANTED;
}

static bool is_jog(const struct judged *j) {
    return j->request->kind == REQUEST_JOG_UP || j->request->kind == REQUEST_JOG_DOWN;
}

/* Nobody shall learn to give it beforehand, or instead of a detector. */
static bool is_word_wanted(const struct judged *j) {
    enum bridge_phase phase = j->before->phase;
    bool is_any_unwatched = false;
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        is_any_unwatched = is_any_unwatched || !seen_is_watched_whole(&j->setup->track[t]);
    }
    bool is_opening = phase == PHASE_CLEARING || phase == PHASE_HELD || phase == PHASE_OPEN;
    return is_any_unwatched && is_opening && j->after->phase != PHASE_FAULT &&
           j->proved->are_signals_at_stop && j->proved->is_released && !j->proved->is_occupied &&
           j->proved->are_detectors_clear;
}

/* Once lined, or after a fault, nothing is left of the word or of the time that went before. */
static const char *judge_one_opening(const struct judged *j) {
    bool has_ended = j->after->phase == PHASE_LINED || j->after->phase == PHASE_FAULT;
    for (unsigned t = 0; t < j->setup->tracks && has_ended; t++) {
        const struct watch *run_out = &j->after->track[t].run_out;
        bool is_kept = run_out->is_running && run_out->left_us == 0;
        if (!seen_is_watched_whole(&j->setup->track[t]) && is_kept) {
            return "a track counts as run out beyond its opening";
        }
    }
    return has_ended && j->after->seen_clear_left_us > 0 ? "somebody's word outlasts its opening"
                                                         : NULL;
}

static const char *judge_word(const struct judged *j) {
    if (is_granted(j, REQUEST_SEEN_CLEAR) && !is_word_wanted(j)) {
        return "somebody's word is taken where it is not wanted, or not true";
    }
    if (is_granted(j, REQUEST_SEEN_CLEAR) && !j->proved->are_sections_clear) {
        return "somebody's word is taken and does nothing";
    }
    return judge_one_opening(j);
}

const char *answers_are_kept(const struct judged *j) {
    bool was_lined = j->before->phase == PHASE_LINED && j->after->phase != PHASE_FAULT;
    bool is_for_lined = is_granted(j, REQUEST_SIGNAL_PROCEED) || is_granted(j, REQUEST_POWER_ON);
    if (is_for_lined && !was_lined) {
        return "proceed or power granted though the bridge is not lined";
    }
    const char *broken = judge_word(j);
    if (broken != NULL) {
        return broken;
    }
    if (is_jog(j) && j->answer == ANSWER_GRANTED) {
        double effort =
            j->request->kind == REQUEST_JOG_UP ? j->out->lift_effort : -j->out->lift_effort;
        if (!(effort > 0) || j->after->phase != PHASE_HELD) {
            return "a jog is granted and not driven, or not as a held span's";
        }
    }
    return NULL;
}

const char *answers_jog_while_asked(const struct judged *j) {
    bool is_driven = j->after->phase == PHASE_HELD && j->out->lift_effort != 0;
    bool goes_on = j->before->phase == PHASE_HELD && j->out_before->lift_effort != 0;
    return is_driven && !goes_on && !is_jog(j) ? "a held span begins to move unasked" : NULL;
}

const char *answers_power_after_a_stop(const struct judged *j) {
    bool is_stop = j->request->kind == REQUEST_EMERGENCY_STOP ||
                   (j->setup->has_stop_circuit && j->in->stop_circuit == LEVEL_OFF);
    bool comes_by_itself = j->after->is_power_wanted && !j->before->is_power_wanted &&
                           !is_granted(j, REQUEST_POWER_ON);
    return (is_stop && j->after->is_power_wanted) || comes_by_itself
               ? "after an emergency stop track power does not wait for its own request"
               : NULL;
}

/* ---- causes; those of the movement's watches are judged where time is real (clocked.h) */

static bool has_cause(const struct judged *j, enum bridge_fault fault) {
    const struct proved *proved = j->proved;
    bool is_lost = proved->is_distrusted && !j->in->is_device_lost;
    bool is_over = j->before->phase_limit.is_running && j->before->phase_limit.left_us <= j->dt_us;
    switch (fault) {
    case FAULT_EMERGENCY_STOP:
        return j->request->kind == REQUEST_EMERGENCY_STOP;
    case FAULT_STOP_CIRCUIT:
        return j->in->stop_circuit != LEVEL_ON;
    case FAULT_DEVICE_LOST:
        return j->in->is_device_lost;
    case FAULT_INPUT_LOST:
    case FAULT_CONTRADICTION:
        return is_lost;
    case FAULT_LATE:
        return j->in->late_us > LATE_MOST_US &&
               (j->out_before->lift_effort != 0 || j->out_before->lock != LOCK_DRIVE_REST);
    case FAULT_PROOF_LOST:
        return !proved->is_span;
    case FAULT_OVERRUN:
        return proved->is_occupied;
    case FAULT_SIGNAL_UNPROVED:
        return !proved->are_signals_at_stop || !proved->is_released;
    case FAULT_POWER_UNPROVED:
        return !proved->are_sections_dead;
    case FAULT_LOCK_UNPROVED:
        return j->before->phase == PHASE_LOCKING     ? is_over
               : j->before->phase == PHASE_UNLOCKING ? is_over && proved->is_released
                                                     : !proved->is_withdrawn;
    case FAULT_RAILS_UNPROVED:
        return is_over && !proved->are_rails;
    case FAULT_NONE:
    case FAULT_STALL:
    case FAULT_BINDING:
    case FAULT_NO_MOVEMENT:
    case FAULT_OVERSPEED:
    case FAULT_OVERTRAVEL:
    case FAULT_TRAVEL_TIME:
    case FAULT_SEAT_TIME:
    case FAULT_DRIFT:
    case BRIDGE_FAULTS:
        break;
    }
    return true;
}

const char *answers_name_a_cause(const struct judged *j) {
    return judged_is_entered(j, PHASE_FAULT) && !has_cause(j, j->after->fault)
               ? "a fault is latched whose cause is not there"
               : NULL;
}
