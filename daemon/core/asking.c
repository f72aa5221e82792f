#include "core/asking.h"

#include "core/horn.h"
#include "core/lock.h"
#include "core/motion.h"
#include "core/sequence.h"
#include "core/unwatched.h"

#include <stdbool.h>

void asking_latch_fault(const struct bridge_setup *setup, struct bridge_state *state,
                        enum bridge_fault fault) {
    if (fault == FAULT_EMERGENCY_STOP || fault == FAULT_STOP_CIRCUIT) {
        /* Its release must not start anything, not even trains: power needs a separate request
         * (ISO 13850, as widely cited). So too where it comes upon a fault that is latched. */
        state->is_power_wanted = false;
    }
    if (state->phase == PHASE_FAULT) {
        return;
    }
    state->fault = fault;
    state->goal = GOAL_NONE;
    state->is_cut = true;
    unwatched_forget(state);
    state->is_horn_asked = false;
    horn_start(setup, &state->horn, HORN_SILENT);
    sequence_enter(setup, state, PHASE_FAULT);
}

/* Sets a flag; tells whether that changed anything. */
static enum bridge_answer set_flag(bool *flag, bool value) {
    if (*flag == value) {
        return ANSWER_ALREADY;
    }
    *flag = value;
    return ANSWER_GRANTED;
}

/* Why a request that needs a bridge in order cannot be granted; ANSWER_NONE if it can. */
static enum bridge_answer refusal(const struct bridge_state *state) {
    if (state->phase == PHASE_FAULT) {
        return ANSWER_FAULT;
    }
    return state->phase == PHASE_UNPROVED ? ANSWER_UNPROVED : ANSWER_NONE;
}

static enum bridge_answer refusal_unless_lined(const struct bridge_state *state) {
    enum bridge_answer answer = refusal(state);
    if (answer == ANSWER_NONE && state->phase != PHASE_LINED) {
        return ANSWER_NOT_LINED;
    }
    return answer;
}

/* Every new direction begins at clearing: all is proved again as it is now. */
static enum bridge_answer begin(const struct bridge_setup *setup, struct bridge_state *state,
                                enum bridge_goal goal) {
    state->goal = goal;
    state->has_given_up = false;
    state->throttle = (struct throttle_state){0};
    horn_start(setup, &state->horn, HORN_SILENT);
    sequence_enter(setup, state, PHASE_CLEARING);
    return ANSWER_GRANTED;
}

static bool is_lifted_by_hand(const struct bridge_setup *setup, const struct bridge_state *state) {
    return setup->is_hand_lifted &&
           (state->phase == PHASE_RAISING || state->phase == PHASE_LOWERING ||
            state->phase == PHASE_UNLOCKING);
}

static enum bridge_answer ask_raise(const struct bridge_setup *setup, struct bridge_state *state) {
    enum bridge_answer answer = refusal(state);
    if (answer != ANSWER_NONE) {
        return answer;
    }
    bool is_there = state->phase == PHASE_OPEN && state->goal != GOAL_DOWN;
    if (state->goal == GOAL_UP || is_there || is_lifted_by_hand(setup, state)) {
        return ANSWER_ALREADY;
    }
    return begin(setup, state, GOAL_UP);
}

/* Back to the seat it has not left: lock it and prove it. */
static enum bridge_answer relock(const struct bridge_setup *setup, struct bridge_state *state) {
    state->goal = GOAL_DOWN;
    horn_start(setup, &state->horn, HORN_SILENT);
    sequence_enter(setup, state, PHASE_LOCKING);
    return ANSWER_GRANTED;
}

static enum bridge_answer ask_lower(const struct bridge_setup *setup, struct bridge_state *state,
                                    const struct sight *sight) {
    enum bridge_answer answer = refusal(state);
    if (answer != ANSWER_NONE) {
        return answer;
    }
    bool is_there = state->phase == PHASE_LINED || state->phase == PHASE_PROVING ||
                    state->phase == PHASE_LOCKING;
    if (is_there || state->goal == GOAL_DOWN) {
        return ANSWER_ALREADY;
    }
    if (sight->is_seated) {
        return relock(setup, state);
    }
    if (setup->is_hand_lifted) { /* the hand lowers it; the horn tells */
        horn_start(setup, &state->horn, HORN_CLOSING);
        return ANSWER_GRANTED;
    }
    if (state->phase == PHASE_OPEN) { /* open: the row of the table goes on from here */
        state->goal = GOAL_DOWN;
        return ANSWER_GRANTED;
    }
    return begin(setup, state, GOAL_DOWN);
}

/* Rests where it is. */
static void hold(const struct bridge_setup *setup, struct bridge_state *state) {
    state->goal = GOAL_NONE;
    horn_start(setup, &state->horn, HORN_SILENT);
    sequence_enter(setup, state, PHASE_HELD);
}

/* S9. Lined, open or not yet proved there is nothing to stop. */
static enum bridge_answer ask_stop(const struct bridge_setup *setup, struct bridge_state *state) {
    switch (state->phase) {
    case PHASE_CLEARING:
    case PHASE_CUTTING:
    case PHASE_WARNING:
    case PHASE_UNLOCKING:
    case PHASE_RAISING:
    case PHASE_LOWERING:
    case PHASE_SEATING:
    case PHASE_LOCKING:
        if (setup->is_hand_lifted) {
            break;
        }
        hold(setup, state);
        return ANSWER_GRANTED;
    case PHASE_HELD:
        if (state->jog.left_us == 0) {
            break;
        }
        state->jog = (struct jog_state){0};
        return ANSWER_GRANTED;
    case PHASE_UNPROVED:
    case PHASE_LINED:
    case PHASE_PROVING:
    case PHASE_OPEN:
    case PHASE_FAULT:
    case BRIDGE_PHASES:
        break;
    }
    return ANSWER_ALREADY;
}

/* What is open is held from now on: the river lights must not show it open while it moves. */
static enum bridge_answer ask_jog(const struct bridge_setup *setup, struct bridge_state *state,
                                  const struct bridge_request *request, const struct sight *sight) {
    enum bridge_answer answer = refusal(state);
    if (setup->is_hand_lifted) {
        return ANSWER_NO_SUCH;
    }
    if (answer != ANSWER_NONE) {
        return answer;
    }
    if (state->phase != PHASE_HELD && state->phase != PHASE_OPEN) {
        return ANSWER_NOT_HELD;
    }
    int direction = request->kind == REQUEST_JOG_UP ? 1 : -1;
    if (!interlock_may_drive(state, sight)) {
        return ANSWER_NOT_SAFE;
    }
    if (direction > 0 && sight->is_open) {
        return ANSWER_ALREADY;
    }
    if (state->phase == PHASE_OPEN) {
        state->goal = GOAL_NONE;
        sequence_enter(setup, state, PHASE_HELD);
    }
    state->is_cut = true; /* without a bar a seated span would still count as locked (S2) */
    state->jog = (struct jog_state){direction, request->effort_most, JOG_US};
    return ANSWER_GRANTED;
}

static void end_throttle(const struct bridge_setup *setup, struct bridge_state *state) {
    if (state->throttle.share > 0) {
        hold(setup, state);
    }
}

static bool is_in_range(const struct bridge_request *request) {
    return request->share >= THROTTLE_SHARE_LEAST && request->share <= 1;
}

static void grip(struct bridge_state *state, const struct bridge_request *request) {
    state->throttle = (struct throttle_state){request->share, request->is_voltage, THROTTLE_US};
}

/* Like any other request to raise or lower, and then in a hand. One that is under way already is
 * taken into it. */
static enum bridge_answer ask_throttle(const struct bridge_setup *setup, struct bridge_state *state,
                                       const struct bridge_request *request,
                                       const struct sight *sight) {
    if (setup->is_hand_lifted) {
        return ANSWER_NO_SUCH;
    }
    if (!is_in_range(request)) {
        end_throttle(setup, state);
        return ANSWER_NO_SUCH;
    }
    bool is_up = request->kind == REQUEST_THROTTLE_UP;
    enum bridge_answer answer = is_up ? ask_raise(setup, state) : ask_lower(setup, state, sight);
    bool is_under_way = state->phase >= PHASE_CLEARING && state->phase <= PHASE_SEATING;
    if (is_under_way && state->goal == (is_up ? GOAL_UP : GOAL_DOWN)) {
        grip(state, request);
    }
    return answer;
}

/* Begins nothing: who holds on while somebody else stops the bridge must not start it anew. */
static enum bridge_answer ask_hold_on(const struct bridge_setup *setup, struct bridge_state *state,
                                      const struct bridge_request *request) {
    if (bridge_request_lets_go(request)) {
        bool was_held = state->throttle.share > 0;
        end_throttle(setup, state);
        return was_held ? ANSWER_GRANTED : ANSWER_ALREADY;
    }
    if (state->throttle.share == 0) {
        return ANSWER_LET_GO;
    }
    if (!is_in_range(request)) {
        end_throttle(setup, state);
        return ANSWER_NO_SUCH;
    }
    grip(state, request);
    return ANSWER_ALREADY;
}

static enum bridge_answer ask_emergency_stop(const struct bridge_setup *setup,
                                             struct bridge_state *state) {
    bool was_latched = state->phase == PHASE_FAULT;
    asking_latch_fault(setup, state, FAULT_EMERGENCY_STOP);
    return was_latched ? ANSWER_ALREADY : ANSWER_GRANTED;
}

static enum bridge_answer ask_acknowledge(const struct bridge_setup *setup,
                                          struct bridge_state *state, const struct sight *sight,
                                          enum bridge_fault found) {
    if (state->phase != PHASE_FAULT) {
        return ANSWER_ALREADY;
    }
    if (found != FAULT_NONE) {
        return ANSWER_CAUSE_STANDS;
    }
    /* Whoever mended it may have moved the bar, and the span: a train that stands there would
     * stand on a bar that nothing proves (S8). */
    if (sight->is_occupied && lock_is_locked_by_time(setup)) {
        return ANSWER_NOT_SAFE;
    }
    lock_forget(state);
    motion_forget_watches(&state->motion);
    if (!setup->motion.has_position) {
        state->motion.is_known = false;
    }
    state->fault = FAULT_NONE;
    sequence_enter(setup, state, PHASE_UNPROVED);
    return ANSWER_GRANTED;
}

/* A person's word for this one opening. It is taken where it is wanted, and where all that can be
 * proved is: so that nobody learns to give it beforehand, or instead of a detector. */
static enum bridge_answer ask_seen_clear(const struct bridge_setup *setup,
                                         struct bridge_state *state, const struct sight *sight) {
    enum bridge_answer answer = refusal(state);
    struct track_place where;
    if (answer != ANSWER_NONE) {
        return answer;
    }
    if (unwatched_all_timed_out(setup, state, &where)) {
        return ANSWER_ALREADY;
    }
    if (!unwatched_takes_word(state)) {
        return ANSWER_NOT_WANTED;
    }
    if (state->word_barred_left_us > 0) {
        return ANSWER_TOO_OLD;
    }
    if (!sight->are_signals_at_stop || !sight->is_released || !sight->are_detectors_clear) {
        return ANSWER_NOT_SAFE;
    }
    state->seen_clear_left_us = SEEN_CLEAR_US;
    return ANSWER_GRANTED;
}

static enum bridge_answer ask_signal(const struct bridge_setup *setup, struct bridge_state *state,
                                     const struct bridge_request *request) {
    if (request->track >= setup->tracks || request->end >= TRACK_ENDS ||
        !setup->track[request->track].end[request->end].is_used) {
        return ANSWER_NO_SUCH;
    }
    bool *wanted = &state->track[request->track].end[request->end].is_proceed_wanted;
    if (request->kind == REQUEST_SIGNAL_STOP) {
        return set_flag(wanted, false);
    }
    enum bridge_answer answer = refusal_unless_lined(state);
    if (answer != ANSWER_NONE) {
        return answer;
    }
    return state->is_power_wanted ? set_flag(wanted, true) : ANSWER_POWER_OFF;
}

static enum bridge_answer ask_power_on(struct bridge_state *state) {
    enum bridge_answer answer = refusal_unless_lined(state);
    return answer != ANSWER_NONE ? answer : set_flag(&state->is_power_wanted, true);
}

enum bridge_answer asking_step(const struct bridge_setup *setup, struct bridge_state *state,
                               const struct bridge_request *request, const struct sight *sight,
                               enum bridge_fault found) {
    if (state->throttle.left_us == 0) { /* a refresh in this very step comes too late */
        end_throttle(setup, state);
    }
    switch (request->kind) {
    case REQUEST_NONE:
        break;
    case REQUEST_RAISE:
        return ask_raise(setup, state);
    case REQUEST_LOWER:
        return ask_lower(setup, state, sight);
    case REQUEST_STOP:
        return ask_stop(setup, state);
    case REQUEST_JOG_UP:
    case REQUEST_JOG_DOWN:
        return ask_jog(setup, state, request, sight);
    case REQUEST_THROTTLE_UP:
    case REQUEST_THROTTLE_DOWN:
        return ask_throttle(setup, state, request, sight);
    case REQUEST_THROTTLE_HOLD:
        return ask_hold_on(setup, state, request);
    case REQUEST_EMERGENCY_STOP:
        return ask_emergency_stop(setup, state);
    case REQUEST_ACKNOWLEDGE:
        return ask_acknowledge(setup, state, sight, found);
    case REQUEST_SEEN_CLEAR:
        return ask_seen_clear(setup, state, sight);
    case REQUEST_SIGNAL_STOP:
    case REQUEST_SIGNAL_PROCEED:
        return ask_signal(setup, state, request);
    case REQUEST_POWER_OFF:
        return set_flag(&state->is_power_wanted, false);
    case REQUEST_POWER_ON:
        return ask_power_on(state);
    case REQUEST_HORN_ON:
        return set_flag(&state->is_horn_asked, true);
    case REQUEST_HORN_OFF:
        return set_flag(&state->is_horn_asked, false);
    }
    return ANSWER_NONE;
}
