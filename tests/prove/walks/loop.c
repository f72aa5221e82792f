#include "prove/walks/loop.h"

#include "prove/judges/judge.h"
#include "prove/moves/moves.h"
#include "prove/scenes/show.h"

#include <string.h>

bool loop_event_is_of_end(enum loop_event event) {
    return event == EVENT_STOP_CLEAR || event == EVENT_APPROACH_LOCK || event == EVENT_TRAIN ||
           event == EVENT_ARRIVAL || event == EVENT_OVERRUN || event == EVENT_TOLD_STOP;
}

bool loop_event_is_of_track(enum loop_event event) {
    return event == EVENT_SPAN_CLEAR || event == EVENT_RUN_OUT || loop_event_is_of_end(event);
}

bool loop_event_is_there(const struct scene *scene, enum loop_event event, unsigned t) {
    const struct bridge_setup *setup = &scene->setup;
    switch (event) {
    case EVENT_RUN_OUT:
        return !seen_is_watched_whole(&setup->track[t]) && setup->track[t].run_out_us > 0;
    case EVENT_TOLD_STOP:
    case EVENT_TOLD_OFF:
        return scene_lacks_proofs(setup);
    case EVENT_BAR_TIME:
        return scene_is_bar_blind(setup);
    case EVENT_WORD:
    case EVENT_WORD_OVER:
        return scene_is_unwatched(setup);
    case EVENT_THROTTLE_UP:
    case EVENT_THROTTLE_DOWN:
    case EVENT_LET_GO:
        return scene->has_throttle;
    default:
        return true;
    }
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
    bool is_free = !scene->setup.has_lock || loop->bar == BAR_WITHDRAWN;
    bool is_raised = loop->asked == ASKED_UP && is_free &&
                     (node->state.phase == PHASE_UNLOCKING || node->state.phase == PHASE_RAISING ||
                      node->state.phase == PHASE_LOWERING);
    return is_raised ? 1 : loop->asked == ASKED_DOWN ? -1 : 0;
}

/* Where the bar goes: 1 to locked, -1 to withdrawn. */
static int bar_direction(const struct scene *scene, const struct loop *loop,
                         const struct node *node) {
    enum bridge_phase phase = node->state.phase;
    if (!scene->setup.has_lock) {
        return 0;
    }
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

/* The bar cannot be known: after a start, until it is driven. */
static bool is_bar_unknown(const struct scene *scene, const struct node *node) {
    const struct bridge_setup *setup = &scene->setup;
    return setup->has_lock && !setup->has_locked && !node->judge.is_bar_in;
}

/* A train that is not seen to stand may still run past the signal that was put to stop before it.
 * Over a span whose bar nobody knows that is a fault, and meant to be (S8). */
static bool can_overrun(const struct scene *scene, const struct loop *loop, const struct node *node,
                        unsigned t, unsigned e) {
    return loop->train[t][e] == TRAIN_TRUSTING &&
           node->state.track[t].end[e].approach_lock_us > 0 && !is_bar_unknown(scene, node);
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

/* The longest time that a train takes is long enough for any that was let on. */
static bool can_run_out(const struct loop *loop, const struct node *node, unsigned t) {
    bool are_gone = true;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        are_gone =
            are_gone && (loop->train[t][e] < TRAIN_TRUSTING || loop->train[t][e] == TRAIN_STANDING);
    }
    return are_gone && is_running(&node->state.track[t].run_out);
}

static bool is_train_on_bridge(const struct scene *scene, const struct loop *loop) {
    bool is_any = false;
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            is_any = is_any || loop->train[t][e] >= TRAIN_ON_STOP;
        }
    }
    return is_any;
}

/* Who gives the word looks before. */
static bool can_give_word(const struct scene *scene, const struct loop *loop,
                          const struct node *node) {
    bool is_waited_for = node->state.phase == PHASE_CLEARING || node->state.phase == PHASE_HELD ||
                         node->state.phase == PHASE_OPEN;
    return is_waited_for && node->state.seen_clear_left_us == 0 &&
           scene_is_unwatched(&scene->setup) && !is_train_on_bridge(scene, loop);
}

/* The longest time of the bar is long enough for it to have come. */
static bool can_bar_time(const struct loop *loop) {
    return (loop->lock == LOCK_DRIVE_DRIVEN && loop->bar == BAR_LOCKED) ||
           (loop->lock == LOCK_DRIVE_WITHDRAWN && loop->bar == BAR_WITHDRAWN);
}

static bool is_any_told_off(const struct scene *scene, const struct node *node) {
    bool is_any = false;
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        const struct track_state *track = &node->state.track[t];
        is_any = is_any || track->told_off.left_us > 0 || track->end[0].told_off.left_us > 0 ||
                 track->end[1].told_off.left_us > 0;
    }
    return is_any;
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
        return event == EVENT_RAISE || event == EVENT_THROTTLE_UP;
    case PHASE_OPEN:
        return event == EVENT_LOWER || event == EVENT_THROTTLE_DOWN;
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
    if (!loop_event_is_there(scene, event, t)) {
        return false;
    }
    switch (event) {
    case EVENT_RUN_OUT:
        return can_run_out(loop, &node, t);
    case EVENT_TOLD_STOP:
        return end->told_stop.left_us > 0;
    case EVENT_TOLD_OFF:
        return is_any_told_off(scene, &node);
    case EVENT_BAR_TIME:
        return can_bar_time(loop);
    case EVENT_WORD:
        return can_give_word(scene, loop, &node);
    case EVENT_WORD_OVER:
        return node.state.seen_clear_left_us > 0;
    case EVENT_STEP:
        return true;
    case EVENT_RESTART: /* with a train on it the span would be taken for one that is not held */
        return scene->setup.has_locked || !scene->setup.has_lock ||
               !is_train_on_bridge(scene, loop);
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
        return can_overrun(scene, loop, &node, t, e);
    case EVENT_LET_GO:
        return node.state.throttle.share > 0;
    case EVENT_RAISE:
    case EVENT_LOWER:
    case EVENT_THROTTLE_UP:
    case EVENT_THROTTLE_DOWN:
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
    static const enum bridge_request_kind kinds[EVENTS] = {
        [EVENT_RAISE] = REQUEST_RAISE,
        [EVENT_LOWER] = REQUEST_LOWER,
        [EVENT_STOP] = REQUEST_STOP,
        [EVENT_JOG_UP] = REQUEST_JOG_UP,
        [EVENT_JOG_DOWN] = REQUEST_JOG_DOWN,
        [EVENT_WORD] = REQUEST_SEEN_CLEAR,
        [EVENT_THROTTLE_UP] = REQUEST_THROTTLE_UP,
        [EVENT_THROTTLE_DOWN] = REQUEST_THROTTLE_DOWN};
    return kinds[event];
}

static struct move what_is_seen(const struct scene *scene, const struct loop *loop,
                                const struct node *node, enum loop_event event, unsigned t,
                                unsigned e) {
    struct move move = {.inputs = show_quiet(scene, node),
                        .dt_us = SCENE_TICK_US,
                        .is_power_wanted = true,
                        .estimate_frac = show_position(loop->place)};
    const struct span_choice span = {loop->place, loop->bar, TROUBLE_NONE, 0, REQUEST_NONE};
    show_span(&scene->setup, &span, &move.inputs);
    show_trains(scene, loop, &move);
    show_feedback(scene, node, &move.inputs);
    move.request.kind = request_of(event);
    move.request.share = SCENE_SHARE;
    move.ends.phase_limit = event == EVENT_TIME_OUT || event == EVENT_GIVE_UP;
    move.ends.warning = event == EVENT_WARNING;
    move.ends.horn = event == EVENT_HORN;
    move.ends.push = event == EVENT_PUSH;
    move.ends.jog = event == EVENT_JOG_END;
    move.ends.throttle = event == EVENT_LET_GO;
    move.ends.span_clear[t] = event == EVENT_SPAN_CLEAR;
    move.ends.stop_clear[t][e] = event == EVENT_STOP_CLEAR;
    move.ends.approach_lock[t][e] = event == EVENT_APPROACH_LOCK;
    move.ends.run_out[t] = event == EVENT_RUN_OUT;
    move.ends.told_stop[t][e] = event == EVENT_TOLD_STOP;
    move.ends.power_told_off = event == EVENT_TOLD_OFF;
    move.ends.bar = event == EVENT_BAR_TIME;
    move.ends.word = event == EVENT_WORD_OVER;
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
    bool is_up = event == EVENT_RAISE || event == EVENT_THROTTLE_UP;
    if (is_up || event == EVENT_LOWER || event == EVENT_THROTTLE_DOWN) {
        loop->asked = is_up ? ASKED_UP : ASKED_DOWN;
    } else if (event == EVENT_LET_GO ||
               (request_of(event) != REQUEST_NONE && event != EVENT_WORD) ||
               event == EVENT_TIME_OUT || event == EVENT_GIVE_UP) {
        loop->asked = ASKED_NOTHING;
    }
    if ((loop->asked == ASKED_UP && phase == PHASE_OPEN) ||
        (loop->asked == ASKED_DOWN && phase == PHASE_LINED)) {
        loop->asked = ASKED_NOTHING;
    }
}

/* How the world really is, whatever the inputs show of it. */
static const char *judge_truth(const struct scene *scene, const struct loop *loop,
                               const struct bridge_outputs *out) {
    bool is_bar_in = !scene->setup.has_lock || loop->bar == BAR_LOCKED;
    bool is_bar_out = !scene->setup.has_lock || loop->bar == BAR_WITHDRAWN;
    bool is_down = loop->place == PLACE_SEATED && is_bar_in;
    bool is_train = is_train_on_bridge(scene, loop);
    if (is_train && (out->lift_effort != 0 || out->lock == LOCK_DRIVE_WITHDRAWN)) {
        return "lift or lock are driven with a train on the bridge";
    }
    if (out->lift_effort != 0 && !is_bar_out) {
        return "the lift is driven against the bar";
    }
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        bool is_given = out->track[t].span_power;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            is_given =
                is_given || out->track[t].end[e].signal_proceed || out->track[t].end[e].stop_power;
            if (loop->train[t][e] == TRAIN_ON_SPAN && loop->place != PLACE_SEATED) {
                return "a train is on a span that is not down";
            }
        }
        if (is_given && !is_down) {
            return "power or proceed is given though the span is not down and locked";
        }
    }
    return NULL;
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
    const char *broken = judge_step(scene, &move, &node, NULL, &outputs);
    loop->lock = (uint8_t)outputs.lock;
    remember_rest(loop, &node);
    note_asked(loop, &node, event);
    if (broken == NULL) {
        broken = judge_truth(scene, loop, &outputs);
    }
    if (broken == NULL && node.state.phase == PHASE_FAULT) {
        broken = "a fault though nothing failed";
    }
    loop->node = node_pack(scene, &node);
    return broken;
}
