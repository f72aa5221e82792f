#include "prove/judges/throttle.h"

#include <math.h>
#include <stddef.h>

static bool is_of_throttle(const struct judged *j) {
    return j->request->kind == REQUEST_THROTTLE_UP || j->request->kind == REQUEST_THROTTLE_DOWN ||
           j->request->kind == REQUEST_THROTTLE_HOLD;
}

/* A share of full speed, or of the full effort, by what is asked in this step or was before. */
const char *throttle_is_bounded(const struct judged *j) {
    const struct motion_setup *m = &j->setup->motion;
    const struct throttle_state *throttle = &j->after->throttle;
    bool is_pushing = j->after->phase == PHASE_SEATING && j->proved->is_seated;
    if (throttle->share == 0 || is_pushing) {
        return NULL;
    }
    bool is_new = is_of_throttle(j) && j->answer != ANSWER_LET_GO;
    double share = is_new ? j->request->share : j->before->throttle.share;
    bool is_voltage = is_new ? j->request->is_voltage : j->before->throttle.is_voltage;
    double most = is_voltage ? share * m->effort_full
                             : m->effort_start + (m->effort_full - m->effort_start) * share;
    return fabs(j->out->lift_effort) > most + 1e-9 ? "driven harder than the hand asks" : NULL;
}

/* Let go, out of its range, or stopped. */
const char *throttle_is_held(const struct judged *j) {
    double share = j->request->share;
    bool is_let_go = j->ends->throttle && j->before->throttle.share > 0;
    bool is_wrong = is_of_throttle(j) && !(share >= THROTTLE_SHARE_LEAST && share <= 1);
    bool is_stopped =
        j->request->kind == REQUEST_STOP || j->request->kind == REQUEST_EMERGENCY_STOP;
    bool was_held = j->before->throttle.share > 0;
    bool is_driven = j->out->lift_effort != 0 || j->out->lock == LOCK_DRIVE_WITHDRAWN;
    if (was_held && (is_let_go || is_wrong || is_stopped) && is_driven) {
        return "lift or lock are driven though the throttle is let go";
    }
    bool is_kept = j->after->throttle.share > 0 && j->after->throttle.left_us > 0;
    bool is_run = j->after->phase >= PHASE_CLEARING && j->after->phase <= PHASE_SEATING &&
                  j->after->phase != PHASE_OPEN && j->after->goal != GOAL_NONE;
    if (j->after->throttle.share > 0 && !(is_kept && is_run)) {
        return "a throttle counts as held where there is nothing to run";
    }
    bool is_ended = was_held && j->after->throttle.share == 0;
    bool goes_on = j->after->phase == j->before->phase && j->out->lift_effort != 0;
    return is_ended && goes_on ? "a movement goes on though the throttle is let go" : NULL;
}

/* Taken as a request to raise or lower is; and who holds on begins nothing. */
const char *throttle_begins_in_order(const struct judged *j) {
    enum bridge_phase before = j->before->phase;
    bool was_at_rest = before == PHASE_LINED || before == PHASE_HELD || before == PHASE_OPEN;
    bool is_plain = j->request->kind == REQUEST_RAISE || j->request->kind == REQUEST_LOWER;
    if (is_plain && j->answer == ANSWER_GRANTED && j->after->throttle.share > 0) {
        return "a request of another leaves the span in the hand";
    }
    if (!is_of_throttle(j)) {
        return NULL;
    }
    bool was_jogged = j->out_before->lift_effort != 0; /* to hold on is refused then */
    if (was_at_rest && !was_jogged &&
        (j->out->lift_effort != 0 || j->out->lock == LOCK_DRIVE_WITHDRAWN)) {
        return "a throttle drives without warning";
    }
    bool begins = was_at_rest && j->after->phase != before && j->after->phase != PHASE_FAULT;
    if (begins && j->request->kind == REQUEST_THROTTLE_HOLD) {
        return "a hand that holds on begins a movement";
    }
    bool is_up = j->request->kind == REQUEST_THROTTLE_UP;
    bool is_held = j->after->throttle.share > 0;
    bool is_its_own = j->after->goal == (is_up ? GOAL_UP : GOAL_DOWN);
    if (j->request->kind == REQUEST_THROTTLE_HOLD || j->answer != ANSWER_GRANTED) {
        return NULL;
    }
    bool is_back = j->after->phase == PHASE_LOCKING || j->after->phase == PHASE_PROVING;
    return is_its_own && (is_held || is_back) ? NULL : "a throttle is granted and not in the hand";
}
