#include "records/event.h"

#include "core/bridge.h"
#include "core/words/names.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *const kind_names[EVENTS] = {
    [EVENT_ASKED] = "asked",
    [EVENT_REFUSED] = "refused",
    [EVENT_STOPPED] = "stopped",
    [EVENT_PHASE] = "phase",
    [EVENT_FAULT] = "fault",
    [EVENT_GIVEN_UP] = "given-up",
    [EVENT_MOVED] = "moved",
    [EVENT_RESTED] = "rested",
    [EVENT_TRAIN_WAITS] = "train-waits",
    [EVENT_TRAIN_GOES] = "train-goes",
    [EVENT_SESSION_BEGAN] = "session-began",
    [EVENT_SESSION_ENDED] = "session-ended",
    [EVENT_NEWS] = "news",
    [EVENT_LOST] = "lost",
    [EVENT_SERVICED] = "serviced",
};

const char *event_kind_name(enum event_kind kind) {
    return kind_names[kind];
}

bool event_kind_find(const char *name, enum event_kind *kind) {
    for (unsigned i = 0; i < EVENTS; i++) {
        if (strcmp(kind_names[i], name) == 0) {
            *kind = (enum event_kind)i;
            return true;
        }
    }
    return false;
}

/* One step being looked at. */
struct look {
    const struct bridge_setup *setup;
    const struct event_places *places;
    struct event_memory *memory;
    const struct item *item;
    const struct event_sink *sink;
};

static void tell(const struct look *look, enum event_kind kind, int32_t who, const char *what,
                 const char *words) {
    const struct motion_state *motion = &look->item->step.after.state.motion;
    struct event event = {.kind = kind,
                          .bridge = (int)look->item->bridge,
                          .at_us = look->item->at_us,
                          .serial = look->item->step.serial,
                          .who = who,
                          .position_frac = motion->is_known ? motion->position_frac : NAN};
    snprintf(event.what, sizeof event.what, "%s", what);
    snprintf(event.words, sizeof event.words, "%s", words);
    look->sink->take(look->sink->context, &event);
}

/* --- what each of them is */

static bool is_refusal(const struct item_step *step) {
    return step->request.kind != REQUEST_NONE && !bridge_answer_is_granted(step->answer);
}

/* A hand that stays at its throttle says nothing new, several times a second; nor does one that
 * does so too late: it asks for nothing. Out of its range it lets go. */
static bool is_held_on(const struct item_step *step) {
    return step->request.kind == REQUEST_THROTTLE_HOLD && step->answer != ANSWER_NO_SUCH;
}

static bool is_new_fault(const struct item_step *step) {
    enum bridge_fault fault = step->after.state.fault;
    return fault != step->before.fault && fault != FAULT_NONE;
}

bool event_is_urgent(const struct item_step *step) {
    return (is_refusal(step) && !is_held_on(step)) || bridge_request_is_stop(step->request.kind) ||
           is_new_fault(step);
}

/* --- requests */

/* A jog is asked for again and again while a key is held: one event. */
static bool is_same_jog(const struct look *look) {
    struct event_memory *memory = look->memory;
    enum bridge_request_kind kind = look->item->step.request.kind;
    if (kind != REQUEST_JOG_UP && kind != REQUEST_JOG_DOWN) {
        memory->jogged_us = 0;
        return false;
    }
    bool is_again = memory->jogged_us != 0 && memory->cause == kind &&
                    look->item->at_us - memory->jogged_us < 2 * (uint64_t)JOG_US;
    memory->jogged_us = look->item->at_us;
    return is_again;
}

static void find_request(const struct look *look) {
    const struct item_step *step = &look->item->step;
    enum bridge_request_kind kind = step->request.kind;
    if (kind == REQUEST_NONE || is_same_jog(look) || is_held_on(step)) {
        return;
    }
    const char *name = bridge_request_name(kind);
    if (is_refusal(step)) {
        tell(look, EVENT_REFUSED, look->item->who, name, bridge_answer_text(step->answer));
        return;
    }
    look->memory->cause = kind;
    look->memory->who = look->item->who;
    tell(look, bridge_request_is_stop(kind) ? EVENT_STOPPED : EVENT_ASKED, look->item->who, name,
         bridge_answer_text(step->answer));
}

/* --- phases and faults */

static void find_phase(const struct look *look) {
    const struct bridge_state *before = &look->item->step.before;
    const struct bridge_view *after = &look->item->step.after;
    if (is_new_fault(&look->item->step)) {
        tell(look, EVENT_FAULT, 0, bridge_fault_name(after->state.fault),
             bridge_fault_text(after->state.fault));
    }
    if (after->state.phase != before->phase) {
        struct bridge_waiting waiting = bridge_waiting(look->setup, &after->state, &after->inputs);
        tell(look, EVENT_PHASE, look->memory->who, bridge_phase_name(after->state.phase),
             bridge_wait_text(waiting.what));
    }
    if (after->state.has_given_up && !before->has_given_up) {
        tell(look, EVENT_GIVEN_UP, look->memory->who, "raise", "trains did not clear in time");
    }
}

/* --- movement: with time and cause, begin and end (33 U.S.C. 499(e) as a model) */

static int direction_of(const struct look *look) {
    const struct bridge_view *after = &look->item->step.after;
    if (!look->setup->is_hand_lifted) {
        double effort = after->outputs.lift_effort;
        return effort > 0 ? 1 : effort < 0 ? -1 : 0;
    }
    enum bridge_phase phase = after->state.phase;
    bool is_down = phase == PHASE_LOWERING || phase == PHASE_SEATING;
    return phase == PHASE_RAISING ? 1 : is_down ? -1 : 0;
}

static void find_movement(const struct look *look) {
    struct event_memory *memory = look->memory;
    int direction = direction_of(look);
    if (direction == memory->direction) {
        return;
    }
    if (memory->direction != 0) {
        tell(look, EVENT_RESTED, memory->who, memory->direction > 0 ? "up" : "down", "");
    }
    memory->direction = direction;
    if (direction != 0) {
        tell(look, EVENT_MOVED, memory->who, direction > 0 ? "up" : "down",
             bridge_request_name(memory->cause));
    }
}

/* --- trains that wait */

static void find_waiting(const struct look *look) {
    const struct bridge_view *after = &look->item->step.after;
    for (unsigned t = 0; t < look->setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_setup *setup = &look->setup->track[t].end[e];
            bool is_there = setup->is_used && setup->has_approach_detector &&
                            after->inputs.track[t].end[e].approach_clear == LEVEL_OFF;
            bool is_waiting = is_there && !after->outputs.track[t].end[e].signal_proceed;
            bool *was_waiting = &look->memory->is_waiting[t][e];
            if (is_waiting != *was_waiting) {
                *was_waiting = is_waiting;
                tell(look, is_waiting ? EVENT_TRAIN_WAITS : EVENT_TRAIN_GOES, 0,
                     look->places->end[t][e], "");
            }
        }
    }
}

static void tell_other(const struct item *item, enum event_kind kind, int bridge,
                       const struct event_sink *sink) {
    struct event event = {.kind = kind,
                          .bridge = bridge,
                          .at_us = item->at_us,
                          .who = item->who,
                          .position_frac = NAN};
    snprintf(event.words, sizeof event.words, "%s", item->words);
    sink->take(sink->context, &event);
}

void event_find(const struct bridge_setup *setup, const struct event_places *places,
                struct event_memory *memory, const struct item *item,
                const struct event_sink *sink) {
    const struct look look = {setup, places, memory, item, sink};
    switch (item->kind) {
    case ITEM_STEP:
        find_request(&look);
        find_phase(&look);
        find_movement(&look);
        find_waiting(&look);
        break;
    case ITEM_SESSION:
        tell_other(item, item->begins ? EVENT_SESSION_BEGAN : EVENT_SESSION_ENDED, EVENT_NO_BRIDGE,
                   sink);
        break;
    case ITEM_NEWS:
        tell_other(item, EVENT_NEWS, (int)item->bridge, sink);
        break;
    }
}
