#include "prove/judge.h"

#include <stdbool.h>
#include <stddef.h>

struct judged {
    const struct bridge_setup *setup;
    const struct bridge_inputs *in;
    const struct bridge_outputs *out;
    const struct bridge_request *request;
    enum bridge_phase before;
    enum bridge_phase after;
    bool is_distrusted; /* by support/invariants.h */
};

static bool are_outputs_safe(const struct bridge_setup *setup,
                             const struct bridge_outputs *outputs) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_outputs *end = &outputs->track[t].end[e];
            if (end->signal_proceed || end->stop_power) {
                return false;
            }
        }
        if (outputs->track[t].span_power) {
            return false;
        }
    }
    return outputs->lift_effort == 0 && !outputs->brake_released &&
           outputs->lock == LOCK_DRIVE_REST;
}

static bool is_safe(const struct judged *j) {
    return are_outputs_safe(j->setup, j->out);
}

/* A step that is over: the fault is latched, and all is safe already. */
static bool has_failed_safe(const struct judged *j) {
    return j->after == PHASE_FAULT && is_safe(j);
}

static bool is_occupied(const struct judged *j) {
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        const struct track_setup *has = &j->setup->track[t];
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (has->end[e].is_used && has->end[e].has_stop_detector &&
                j->in->track[t].end[e].stop_clear != LEVEL_ON) {
                return true;
            }
        }
        if (has->has_span_detector && j->in->track[t].span_clear != LEVEL_ON) {
            return true;
        }
    }
    return false;
}

static const char *judge_bad_inputs(const struct judged *j) {
    if (!j->is_distrusted) {
        return NULL;
    }
    bool is_latched = j->before == PHASE_UNPROVED
                          ? j->after == PHASE_UNPROVED || j->after == PHASE_FAULT
                          : j->after == PHASE_FAULT;
    return is_latched ? NULL : "S5: a fault of the inputs is not latched";
}

static const char *judge_latch(const struct judged *j) {
    bool is_ended = j->before == PHASE_FAULT && j->after != PHASE_FAULT;
    if (is_ended && j->request->kind != REQUEST_ACKNOWLEDGE) {
        return "S5: a fault ended without an acknowledgment";
    }
    bool is_unsafe_phase = j->after == PHASE_FAULT || j->after == PHASE_UNPROVED;
    return is_unsafe_phase && !is_safe(j) ? "S5/S6: outputs not safe while unproved or at fault"
                                          : NULL;
}

/* What a start, or an acknowledgment, may lead to in one step. */
static const char *judge_unproved(const struct judged *j) {
    bool is_proving = j->before == PHASE_UNPROVED || j->before == PHASE_FAULT;
    if (!is_proving || j->after == PHASE_UNPROVED || j->after == PHASE_FAULT) {
        return NULL;
    }
    bool is_proved = j->in->seated == LEVEL_ON && j->in->locked == LEVEL_ON;
    if ((j->after == PHASE_LINED || j->after == PHASE_PROVING) && !is_proved) {
        return "S6: taken for seated and locked without proof";
    }
    return is_safe(j) ? NULL : "S6: outputs not safe in the step that found the span";
}

static const char *judge_trains(const struct judged *j) {
    bool is_span_held = j->in->seated == LEVEL_ON && j->in->locked == LEVEL_ON;
    if (!is_occupied(j) || is_span_held || j->before == PHASE_UNPROVED) {
        return NULL;
    }
    return has_failed_safe(j) ? NULL : "S8: a train where the span is not held, and no stop";
}

static const char *judge_stops(const struct judged *j) {
    if (j->request->kind == REQUEST_EMERGENCY_STOP && !has_failed_safe(j)) {
        return "S9: an emergency stop did not act in its own step";
    }
    if (j->request->kind == REQUEST_STOP && j->out->lift_effort != 0) {
        return "S9: a stop did not act in its own step";
    }
    return NULL;
}

static const char *judge_river(const struct judged *j) {
    bool is_shown_open = j->out->river == RIVER_GREEN;
    bool is_open = j->setup->has_open ? j->in->open == LEVEL_ON : j->in->seated == LEVEL_OFF;
    if (is_shown_open && (!is_open || j->out->lift_effort != 0)) {
        return "the river lights show open though the span is not open and at rest";
    }
    return NULL;
}

const char *judge_step(const struct scene *scene, const struct move *move, struct node *node,
                       struct bridge_outputs *outputs) {
    struct bridge_outputs own;
    struct bridge_outputs *out = outputs != NULL ? outputs : &own;
    const struct bridge_setup *setup = &scene->setup;
    enum bridge_phase before = node->state.phase;
    bridge_step(setup, &node->state, &move->inputs, &move->request, move->dt_us, out);

    static const char *(*const judgements[])(const struct judged *) = {
        judge_bad_inputs, judge_latch, judge_unproved, judge_trains, judge_stops, judge_river,
    };
    const char *broken =
        invariants_broken(&node->judge, setup, &move->inputs, &move->request, move->dt_us, out);
    const struct judged j = {setup,
                             &move->inputs,
                             out,
                             &move->request,
                             before,
                             node->state.phase,
                             node->judge.is_distrusted};
    for (size_t i = 0; broken == NULL && i < sizeof judgements / sizeof judgements[0]; i++) {
        broken = judgements[i](&j);
    }
    return broken;
}
