#include "prove/loop.h"

#include "prove/judge.h"
#include "prove/moves.h"
#include "prove/show.h"

#include <string.h>

bool loop_event_is_of_end(enum loop_event event) {
    return event == EVENT_STOP_CLEAR || event == EVENT_APPROACH_LOCK || event == EVENT_TRAIN ||
           event == EVENT_ARRIVAL || event == EVENT_OVERRUN;
}

bool loop_event_is_of_track(enum loop_event event) {
    return event == EVENT_SPAN_CLEAR || loop_event_is_of_end(event);
}

void loop_start(const struct scene *scene, enum place place, struct loop *loop) {
    struct node node;
    memset(loop, 0, sizeof *loop);
    node_start(scene, &node);
    loop->node = node_pack(scene, &node);
    loop->place = (uint8_t)place;
    loop->rest = (uint8_t)place;
    loop->bar = place == PLACE_SEATED ? BAR_LOCKED : BAR_WITHDRAWN;
}

enum bridge_phase loop_phase(const struct scene *scene, const struct loop *loop) {
    struct node node;
    node_unpack(scene, &loop->node, &node);
    return node.state.phase;
}

/* ---- what can happen */

static bool is_running(const struct watch *watch) {
    return watch->is_running && watch->left_us > 0;
}

/* Where the lift drives the span; a hand does what the bridge waits for. */
static int lift_direction(const struct scene *scene, const struct loop *loop,
                          const struct node *node) {
    if (!scene->setup.is_hand_lifted) {
        return node->judge.before.lift_effort == 0 ? 0 : node->state.motion.direction;
    }
    bool is_raised = loop->asked == ASKED_UP && loop->bar == BAR_WITHDRAWN &&
                     (node->state.phase == PHASE_UNLOCKING || node->state.phase == PHASE_RAISING ||
                      node->state.phase == PHASE_LOWERING);
    return is_raised ? 1 : loop->asked == ASKED_DOWN ? -1 : 0;
}

/* Where the bar goes: 1 to locked, -1 to withdrawn. */
static int bar_direction(const struct scene *scene, const struct loop *loop,
                         const struct node *node) {
    enum bridge_phase phase = node->state.phase;
    if (scene->setup.is_hand_lifted) {
        bool is_unlocked = loop->asked == ASKED_UP && phase == PHASE_UNLOCKING;
        bool is_locked = loop->asked != ASKED_UP && loop->place == PLACE_SEATED;
        return is_unlocked ? -1 : is_locked ? 1 : 0;
    }
    if (!scene->setup.has_lock_drive) {
        return phase == PHASE_UNLOCKING ? -1 : phase == PHASE_LOCKING ? 1 : 0;
    }
    switch ((enum lock_drive)loop->lock) {
    case LOCK_DRIVE_DRIVEN:
        return 1;
    case LOCK_DRIVE_WITHDRAWN:
        return -1;
    case LOCK_DRIVE_REST:
        break;
    }
    return 0;
}

static bool can_lift(const struct scene *scene, const struct loop *loop, const struct node *node) {
    int direction = lift_direction(scene, loop, node);
    return (direction > 0 && loop->place != PLACE_OPEN) ||
           (direction < 0 && loop->place != PLACE_SEATED);
}

static bool can_bar(const struct scene *scene, const struct loop *loop, const struct node *node) {
    int direction = bar_direction(scene, loop, node);
    return (direction > 0 && loop->bar != BAR_LOCKED && loop->place == PLACE_SEATED) ||
           (direction < 0 && loop->bar != BAR_WITHDRAWN);
}

/* What a train can do next. */
static bool can_train(const struct scene *scene, const struct loop *loop, const struct node *node,
                      unsigned t, unsigned e) {
    const struct track_outputs *out = &node->judge.before.track[t];
    switch ((enum train)loop->train[t][e]) {
    case TRAIN_NONE:
        return false;
    case TRAIN_COMING:
    case TRAIN_TRUSTING:
        return true;
    case TRAIN_STANDING:
        return out->end[e].signal_proceed;
    case TRAIN_ON_STOP:
        return out->end[e].stop_power;
    case TRAIN_ON_SPAN:
        return out->span_power;
    case TRAIN_LEAVING:
        return out->end[1 - e].stop_power || !scene->setup.track[t].end[1 - e].is_used;
    }
    return false;
}

/* A train that is not seen to stand may still run past the signal that was put to stop before it.
 */
static bool can_overrun(const struct loop *loop, const struct node *node, unsigned t, unsigned e) {
    return loop->train[t][e] == TRAIN_TRUSTING && node->state.track[t].end[e].approach_lock_us > 0;
}

/* A train on the bridge that cannot go on: it has no power. */
static bool is_any_stuck(const struct scene *scene, const struct loop *loop,
                         const struct node *node) {
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (loop->train[t][e] >= TRAIN_ON_STOP && !can_train(scene, loop, node, t, e)) {
                return true;
            }
        }
    }
    return false;
}

static bool can_jog(const struct scene *scene, const struct node *node) {
    return !scene->setup.is_hand_lifted &&
           (node->state.phase == PHASE_OPEN || node->state.phase == PHASE_HELD);
}

static bool can_ask(const struct node *node, enum loop_event event) {
    switch (node->state.phase) {
    case PHASE_UNPROVED:
    case PHASE_FAULT:
        return false;
    case PHASE_LINED:
        return event == EVENT_RAISE;
    case PHASE_OPEN:
        return event == EVENT_LOWER;
    case PHASE_CLEARING:
    case PHASE_CUTTING:
    case PHASE_WARNING:
    case PHASE_UNLOCKING:
    case PHASE_RAISING:
    case PHASE_LOWERING:
    case PHASE_SEATING:
    case PHASE_LOCKING:
    case PHASE_PROVING:
    case PHASE_HELD:
    case BRIDGE_PHASES:
        break;
    }
    return true;
}

bool loop_can(const struct scene *scene, const struct loop *loop, enum loop_event event, unsigned t,
              unsigned e) {
    struct node node;
    node_unpack(scene, &loop->node, &node);
    const struct track_end_state *end = &node.state.track[t].end[e];
    if (loop_event_is_of_end(event) && !scene->setup.track[t].end[e].is_used) {
        return false;
    }
    switch (event) {
    case EVENT_STEP:
    case EVENT_RESTART:
        return true;
    case EVENT_LIFT:
        return can_lift(scene, loop, &node);
    case EVENT_BAR:
        return can_bar(scene, loop, &node);
    case EVENT_WARNING:
        return node.state.warning_left_us > 0;
    case EVENT_HORN:
        return node.state.horn.signal != HORN_SILENT;
    case EVENT_PUSH:
        return node.state.phase == PHASE_SEATING && node.state.push_left_us > 0;
    case EVENT_JOG_END:
        return node.state.jog.left_us > 0;
    case EVENT_SETTLE:
        return loop->is_settling;
    case EVENT_SPAN_CLEAR:
        return is_running(&node.state.track[t].span_clear);
    case EVENT_STOP_CLEAR:
        return is_running(&end->stop_clear);
    case EVENT_APPROACH_LOCK: /* its time is long enough for a train to have stopped or passed */
        return end->approach_lock_us > 0 && loop->train[t][e] != TRAIN_TRUSTING;
    case EVENT_TRAIN:
        return can_train(scene, loop, &node, t, e);
    case EVENT_GIVE_UP:
        return node.state.phase == PHASE_CLEARING && is_any_stuck(scene, loop, &node);
    case EVENT_ARRIVAL:
        return loop->train[t][e] == TRAIN_NONE;
    case EVENT_OVERRUN:
        return can_overrun(loop, &node, t, e);
    case EVENT_RAISE:
    case EVENT_LOWER:
        return can_ask(&node, event);
    case EVENT_STOP:
        return can_ask(&node, event) && !scene->setup.is_hand_lifted;
    case EVENT_JOG_UP:
    case EVENT_JOG_DOWN:
        return can_jog(scene, &node);
    case EVENT_TIME_OUT:
        return node.state.phase == PHASE_CLEARING;
    case EVENTS:
        break;
    }
    return false;
}

/* ---- what then is so */

static void go_train(const struct scene *scene, struct loop *loop, const struct node *node,
                     unsigned t, unsigned e) {
    bool is_through = scene->setup.track[t].end[1 - e].is_used;
    bool may_pass = node->judge.before.track[t].end[e].signal_proceed;
    uint8_t *train = &loop->train[t][e];
    switch ((enum train) * train) {
    case TRAIN_NONE:
    case TRAIN_LEAVING:
        *train = TRAIN_NONE;
        break;
    case TRAIN_COMING:
        *train = may_pass ? TRAIN_TRUSTING : TRAIN_STANDING;
        break;
    case TRAIN_TRUSTING:
        *train = may_pass ? TRAIN_ON_STOP : TRAIN_STANDING;
        break;
    case TRAIN_STANDING:
        *train = TRAIN_ON_STOP;
        break;
    case TRAIN_ON_STOP:
        *train = TRAIN_ON_SPAN;
        break;
    case TRAIN_ON_SPAN:
        *train = is_through ? TRAIN_LEAVING : TRAIN_NONE;
        break;
    }
}

static void go_bar(const struct scene *scene, struct loop *loop, const struct node *node) {
    if (loop->bar == BAR_BETWEEN) {
        loop->bar = bar_direction(scene, loop, node) > 0 ? BAR_LOCKED : BAR_WITHDRAWN;
    } else {
        loop->bar = BAR_BETWEEN;
    }
}

static void go_world(const struct scene *scene, struct loop *loop, const struct node *node,
                     enum loop_event event, unsigned t, unsigned e) {
    if (event == EVENT_LIFT) {
        loop->place = (uint8_t)(loop->place + lift_direction(scene, loop, node));
    } else if (event == EVENT_BAR) {
        go_bar(scene, loop, node);
    } else if (event == EVENT_TRAIN) {
        go_train(scene, loop, node, t, e);
    } else if (event == EVENT_ARRIVAL) {
        loop->train[t][e] = TRAIN_COMING;
    } else if (event == EVENT_OVERRUN) {
        loop->train[t][e] = TRAIN_ON_STOP;
    }
}

static void show_trains(const struct scene *scene, const struct loop *loop, struct move *move) {
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            struct track_inputs *in = &move->inputs.track[t];
            enum train train = loop->train[t][e];
            bool is_near =
                train == TRAIN_COMING || train == TRAIN_TRUSTING || train == TRAIN_STANDING;
            in->end[e].approach_clear = show_on_if(!is_near);
            in->end[e].standing = show_on_if(train == TRAIN_STANDING);
            move->ends.approach_clear[t][e] = !is_near;
            if (train == TRAIN_ON_STOP) {
                in->end[e].stop_clear = LEVEL_OFF;
            } else if (train == TRAIN_ON_SPAN) {
                in->span_clear = LEVEL_OFF;
            } else if (train == TRAIN_LEAVING) {
                in->end[1 - e].stop_clear = LEVEL_OFF;
            }
            move->is_proceed_wanted[t][e] = true;
        }
    }
}

static void show_feedback(const struct scene *scene, const struct node *node,
                          struct bridge_inputs *in) {
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            bool is_proceed = node->judge.before.track[t].end[e].signal_proceed;
            in->track[t].end[e].signal_at_stop = show_on_if(!is_proceed);
        }
    }
}

static enum bridge_request_kind request_of(enum loop_event event) {
    static const enum bridge_request_kind kinds[EVENTS] = {[EVENT_RAISE] = REQUEST_RAISE,
                                                           [EVENT_LOWER] = REQUEST_LOWER,
                                                           [EVENT_STOP] = REQUEST_STOP,
                                                           [EVENT_JOG_UP] = REQUEST_JOG_UP,
                                                           [EVENT_JOG_DOWN] = REQUEST_JOG_DOWN};
    return kinds[event];
}

static struct move what_is_seen(const struct scene *scene, const struct loop *loop,
                                const struct node *node, enum loop_event event, unsigned t,
                                unsigned e) {
    struct move move = {.inputs = show_quiet(scene, node),
                        .dt_us = SCENE_TICK_US,
                        .is_power_wanted = true,
                        .estimate_frac = show_position(loop->place)};
    const struct span_choice span = {loop->place, loop->bar, TROUBLE_NONE, REQUEST_NONE};
    show_span(&scene->setup, &span, &move.inputs);
    show_trains(scene, loop, &move);
    show_feedback(scene, node, &move.inputs);
    move.request.kind = request_of(event);
    move.ends.phase_limit = event == EVENT_TIME_OUT || event == EVENT_GIVE_UP;
    move.ends.warning = event == EVENT_WARNING;
    move.ends.horn = event == EVENT_HORN;
    move.ends.push = event == EVENT_PUSH;
    move.ends.jog = event == EVENT_JOG_END;
    move.ends.span_clear[t] = event == EVENT_SPAN_CLEAR;
    move.ends.stop_clear[t][e] = event == EVENT_STOP_CLEAR;
    move.ends.approach_lock[t][e] = event == EVENT_APPROACH_LOCK;
    return move;
}

/* Drift is about where the span came to rest, which the nodes forget: it is remembered here. */
static void recall_rest(const struct loop *loop, enum loop_event event, struct node *node) {
    node->state.motion.rest_frac = show_position(loop->rest);
    node->state.motion.settle_us = 0;
    if (loop->is_settling) {
        node->state.motion.settle_us = event == EVENT_SETTLE ? SCENE_TICK_US : SCENE_WHOLE_US;
    }
}

static void remember_rest(struct loop *loop, const struct node *node) {
    for (enum place place = 0; place < PLACES; place++) {
        if (node->state.motion.rest_frac == show_position(place)) {
            loop->rest = (uint8_t)place;
        }
    }
    loop->is_settling = node->state.motion.settle_us > 0;
}

/* A request that was granted stands until it is reached, or another one or a lack of time ends it.
 */
static void note_asked(struct loop *loop, const struct node *node, enum loop_event event) {
    enum bridge_phase phase = node->state.phase;
    if (event == EVENT_RAISE || event == EVENT_LOWER) {
        loop->asked = event == EVENT_RAISE ? ASKED_UP : ASKED_DOWN;
    } else if (request_of(event) != REQUEST_NONE || event == EVENT_TIME_OUT ||
               event == EVENT_GIVE_UP) {
        loop->asked = ASKED_NOTHING;
    }
    if ((loop->asked == ASKED_UP && phase == PHASE_OPEN) ||
        (loop->asked == ASKED_DOWN && phase == PHASE_LINED)) {
        loop->asked = ASKED_NOTHING;
    }
}

const char *loop_go(const struct scene *scene, struct loop *loop, enum loop_event event, unsigned t,
                    unsigned e) {
    struct node node;
    node_unpack(scene, &loop->node, &node);
    if (event == EVENT_RESTART) {
        node_start(scene, &node);
        loop->node = node_pack(scene, &node);
        loop->asked = ASKED_NOTHING;
        loop->is_settling = false;
        loop->lock = LOCK_DRIVE_REST;
        loop->rest = PLACE_SEATED;
        return NULL;
    }
    go_world(scene, loop, &node, event, t, e);
    struct move move = what_is_seen(scene, loop, &node, event, t, e);
    moves_prepare(scene, &move, &node);
    recall_rest(loop, event, &node);
    struct bridge_outputs outputs;
    const char *broken = judge_step(scene, &move, &node, &outputs);
    loop->lock = (uint8_t)outputs.lock;
    remember_rest(loop, &node);
    note_asked(loop, &node, event);
    if (broken == NULL && node.state.phase == PHASE_FAULT) {
        broken = "a fault though nothing failed";
    }
    loop->node = node_pack(scene, &node);
    return broken;
}
