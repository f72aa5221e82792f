#include "prove/judges/judge.h"

#include "prove/judges/answers.h"
#include "prove/judges/phases.h"
#include "prove/judges/throttle.h"
#include "support/core/invariants.h"

#include <stdbool.h>
#include <stddef.h>

static const char *judge_bad_inputs(const struct judged *j) {
    if (!j->proved->is_distrusted) {
        return NULL;
    }
    bool is_latched = j->after->phase == PHASE_FAULT ||
                      (j->before->phase == PHASE_UNPROVED && j->after->phase == PHASE_UNPROVED);
    return is_latched ? NULL : "S5: a fault of the inputs is not latched";
}

static const char *judge_latch(const struct judged *j) {
    bool is_ended = j->before->phase == PHASE_FAULT && j->after->phase != PHASE_FAULT;
    if (is_ended && j->request->kind != REQUEST_ACKNOWLEDGE) {
        return "S5: a fault ended without an acknowledgment";
    }
    bool is_unsafe_phase = j->after->phase == PHASE_FAULT || j->after->phase == PHASE_UNPROVED;
    return is_unsafe_phase && !judged_is_safe(j)
               ? "S5/S6: outputs not safe while unproved or at fault"
               : NULL;
}

/* What a start, or an acknowledgment, may lead to in one step. */
static const char *judge_unproved(const struct judged *j) {
    bool was_proving = j->before->phase == PHASE_UNPROVED || j->before->phase == PHASE_FAULT;
    if (!was_proving || j->after->phase == PHASE_UNPROVED || j->after->phase == PHASE_FAULT) {
        return NULL;
    }
    bool is_down = j->after->phase == PHASE_LINED || j->after->phase == PHASE_PROVING;
    if (is_down && !(j->proved->is_seated && j->proved->is_locked)) {
        return "S6: taken for seated and locked without proof";
    }
    return judged_is_safe(j) ? NULL : "S6: outputs not safe in the step that found the span";
}

/* From the withdrawal of the lock on the span counts as gone, whatever its seat still says. */
static bool is_moved(enum bridge_phase phase) {
    return phase == PHASE_UNLOCKING || phase == PHASE_RAISING || phase == PHASE_LOWERING ||
           phase == PHASE_SEATING;
}

static const char *judge_trains(const struct judged *j) {
    bool is_span_held = j->proved->is_seated && j->proved->is_locked && !is_moved(j->before->phase);
    if (!j->proved->is_occupied || is_span_held || j->before->phase == PHASE_UNPROVED) {
        return NULL;
    }
    return judged_has_failed_safe(j) ? NULL : "S8: a train where the span is not held, and no stop";
}

static const char *judge_stops(const struct judged *j) {
    return j->request->kind == REQUEST_EMERGENCY_STOP && !judged_has_failed_safe(j)
               ? "S9: an emergency stop did not act in its own step"
               : NULL;
}

static const char *judge_river(const struct judged *j) {
    bool is_at_rest = j->proved->is_open && j->out->lift_effort == 0;
    return j->out->river == RIVER_GREEN && !is_at_rest
               ? "the river lights show open though the span is not open and at rest"
               : NULL;
}

const char *judge_step(const struct scene *scene, const struct move *move, struct node *node,
                       struct lengths *lengths, struct bridge_outputs *outputs) {
    static judgement *const judgements[] = {
        judge_bad_inputs,
        judge_latch,
        judge_unproved,
        judge_trains,
        judge_stops,
        judge_river,
        phases_are_true,
        phases_end_in_time,
        phases_cut_no_train_off,
        phases_meet_no_trains,
        answers_are_kept,
        answers_jog_while_asked,
        answers_power_after_a_stop,
        answers_name_a_cause,
        throttle_is_bounded,
        throttle_is_held,
        throttle_begins_in_order,
    };
    struct bridge_outputs own;
    struct bridge_outputs *out = outputs != NULL ? outputs : &own;
    const struct bridge_state before = node->state;
    const struct bridge_outputs out_before = node->judge.before;
    enum bridge_answer answer =
        bridge_step(&scene->setup, &node->state, &move->inputs, &move->request, move->dt_us, out);
    const char *broken = invariants_broken(&node->judge, &scene->setup, &move->inputs,
                                           &move->request, move->dt_us, out);
    const struct judged j = {
        .setup = &scene->setup,
        .in = &move->inputs,
        .request = &move->request,
        .dt_us = move->dt_us,
        .ends = &move->ends,
        .before = &before,
        .after = &node->state,
        .out_before = &out_before,
        .out = out,
        .answer = answer,
        .proved = &node->judge.proved,
        .seen = &node->judge,
    };
    for (size_t i = 0; broken == NULL && i < sizeof judgements / sizeof judgements[0]; i++) {
        broken = judgements[i](&j);
    }
    return broken == NULL && lengths != NULL ? lengths_broken(lengths, &j) : broken;
}
