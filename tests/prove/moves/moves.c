#include "prove/moves/moves.h"

#include "prove/scenes/show.h"

#include <math.h>
#include <stddef.h>

void moves_of(const struct scene *scene, const struct packed *packed, struct moves *moves) {
    moves->scene = scene;
    node_unpack(scene, packed, &moves->node);
    moves->quiet = (struct move){
        .inputs = show_quiet(scene, &moves->node), .dt_us = SCENE_TICK_US, .is_power_wanted = true};
    moves->count = 1; /* the restart */
    for (enum part part = 0; part < PARTS; part++) {
        choices_offer(scene, &moves->node, part, &moves->part[part]);
        moves->count += moves->part[part].count;
    }
}

/* ---- what a choice does */

/* Of three readings: 0 occupied; 1 clear, and not yet long enough; 2 the time ends in this step. */
static enum level read_section(bool *ends, unsigned value) {
    *ends = value == 2;
    return show_on_if(value > 0);
}

/* Where a train can be seen to stand, that ends approach locking; else its time does. */
static void end_approach_lock(const struct scene *scene, struct move *move, unsigned t,
                              unsigned e) {
    if (scene->setup.track[t].end[e].has_standing_detector) {
        move->inputs.track[t].end[e].standing = LEVEL_ON;
    } else {
        move->ends.approach_lock[t][e] = true;
    }
}

static void want(const struct moves *moves, struct move *move, const struct choice *choice,
                 unsigned value) {
    unsigned signal = 0;
    move->is_power_wanted = value != choice->count - 1;
    for (unsigned t = 0; t < moves->scene->setup.tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (choices_could_clear(&moves->node, t, e)) {
                move->is_proceed_wanted[t][e] = (value >> signal & 1u) != 0;
                signal++;
            }
        }
    }
}

/* Occupied; believed clear; or clear, but not yet long enough: which is to all but the time of a
 * track that is not watched whole as occupied. */
static void read_approach(struct move *move, const struct choice *choice, unsigned value) {
    struct track_end_inputs *end = &move->inputs.track[choice->track].end[choice->end];
    end->approach_clear = show_on_if(value > 0);
    move->ends.approach_clear[choice->track][choice->end] = value == 1;
}

/* One, and nobody comes meanwhile. */
static void unprove_signal(const struct bridge_setup *setup, struct move *move) {
    show_signal_unproved(setup, &move->inputs);
    for (unsigned t = 0; t < setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            move->ends.approach_clear[t][e] = true;
        }
    }
}

/* A bit for each that could start approach locking anew. */
static void unprove_before_trains(const struct moves *moves, struct move *move, unsigned faces) {
    const struct bridge_setup *setup = &moves->scene->setup;
    for (unsigned t = 0; t < setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (choices_could_lock_anew(setup, &moves->node, t, e)) {
                if ((faces & 1u) != 0) {
                    move->inputs.track[t].end[e].signal_at_stop = LEVEL_OFF;
                    move->inputs.track[t].end[e].approach_clear = LEVEL_OFF;
                }
                faces >>= 1;
            }
        }
    }
}

/* Value 0 of all but sections and wanted signals is the quiet one. */
static void take(const struct moves *moves, struct move *move, const struct choice *choice,
                 unsigned value) {
    const struct bridge_setup *setup = &moves->scene->setup;
    unsigned t = choice->track;
    unsigned e = choice->end;
    switch (choice->what) {
    case CHOICE_SIGNAL_PROOF:
        if (value == 1) {
            unprove_signal(setup, move);
        } else {
            unprove_before_trains(moves, move, value - 1);
        }
        break;
    case CHOICE_DEAD:
        show_dead_unproved(moves->scene, &moves->node, &move->inputs);
        break;
    case CHOICE_POWER_LEFT:
        show_power_proof(setup, &move->inputs, t, LEVEL_ON);
        break;
    case CHOICE_APPROACH:
        read_approach(move, choice, value);
        break;
    case CHOICE_APPROACH_LOCK:
        end_approach_lock(moves->scene, move, t, e);
        break;
    case CHOICE_STOP_SECTION:
        move->inputs.track[t].end[e].stop_clear = read_section(&move->ends.stop_clear[t][e], value);
        break;
    case CHOICE_SPAN_SECTION:
        move->inputs.track[t].span_clear = read_section(&move->ends.span_clear[t], value);
        break;
    case CHOICE_PHASE_LIMIT:
        move->ends.phase_limit = true;
        break;
    case CHOICE_WARNING:
        move->ends.warning = true;
        break;
    case CHOICE_HORN:
        move->ends.horn = true;
        break;
    case CHOICE_PUSH:
        move->ends.push = true;
        break;
    case CHOICE_JOG:
        move->ends.jog = true;
        break;
    case CHOICE_THROTTLE:
        move->ends.throttle = true;
        break;
    case CHOICE_WORD:
        move->ends.word = true;
        break;
    case CHOICE_BAR:
        move->ends.bar = true;
        break;
    case CHOICE_TOLD_STOP:
        move->ends.told_stop[t][e] = true;
        break;
    case CHOICE_TOLD_OFF:
        move->ends.power_told_off = true;
        break;
    case CHOICE_RUN_OUT:
        move->ends.run_out[t] = true;
        break;
    case CHOICE_WANTED:
        want(moves, move, choice, value);
        break;
    }
}

/* A proof that is overdue in this step, or a phase's longest time that ends in it. */
static void take_times(const struct moves *moves, enum trouble trouble, struct move *move) {
    const struct bridge_setup *setup = &moves->scene->setup;
    const struct track_state *track = &moves->node.state.track[0];
    if (trouble == TROUBLE_LATE) {
        move->dt_us = SCENE_WHOLE_US; /* no look is later than it is long */
    } else if (trouble == TROUBLE_PHASE_OVER) {
        move->ends.phase_limit = true;
    } else if (trouble == TROUBLE_SIGNAL_PROOF_OVERDUE && setup->track[0].end[0].has_signal_proof &&
               !track->end[0].shows_proceed) {
        show_signal_unproved(setup, &move->inputs);
        move->ends.signal_proof = true;
    } else if (trouble == TROUBLE_POWER_PROOF_OVERDUE && setup->track[0].has_span_power_proof &&
               !track->is_powered) {
        move->inputs.track[0].span_dead = LEVEL_OFF;
        move->ends.power_proof = true;
    }
}

static bool has_quiet_zero(const struct choice *choice) {
    return choice->what != CHOICE_APPROACH && choice->what != CHOICE_STOP_SECTION &&
           choice->what != CHOICE_SPAN_SECTION && choice->what != CHOICE_WANTED;
}

static void take_all(const struct moves *moves, const struct product *product, unsigned index,
                     struct move *move) {
    const struct span_choice *span = &product->span[index % product->spans];
    unsigned rest = index / product->spans;
    show_span(&moves->scene->setup, span, &move->inputs);
    move->estimate_frac = show_position(span->place);
    move->request.kind = span->request;
    move->request.share = SCENE_SHARE;
    take_times(moves, span->trouble, move);
    for (unsigned i = 0; i < product->choices; i++) {
        const struct choice *choice = &product->choice[i];
        unsigned value = rest % choice->count;
        rest /= choice->count;
        if (value != 0 || !has_quiet_zero(choice)) {
            take(moves, move, choice, value);
        }
    }
}

void moves_at(const struct moves *moves, unsigned index, struct move *move) {
    *move = moves->quiet;
    for (enum part part = 0; part < PARTS; part++) {
        if (index < moves->part[part].count) {
            take_all(moves, &moves->part[part], index, move);
            return;
        }
        index -= moves->part[part].count;
    }
    move->is_restart = true;
}

/* ---- the node before the step */

static void set_left(uint32_t *left_us, bool ends) {
    if (*left_us > 0) {
        *left_us = ends ? SCENE_TICK_US : SCENE_WHOLE_US;
    }
}

/* The judge counts upwards: a tick before its limit, or just begun. */
static void set_while(struct judged_while *it, uint32_t limit_us, bool ends) {
    if (it->for_us < limit_us) {
        it->for_us = ends ? limit_us - SCENE_TICK_US : 0;
    }
}

static void set_clear(const struct scene *scene, struct judged_while *clear, bool ends) {
    if (scene->setup.clear_us > 0) {
        set_while(clear, scene->setup.clear_us, ends);
    }
}

static void set_told(const struct scene *scene, struct watch *told, struct judged_while *judged,
                     bool ends) {
    set_left(&told->left_us, ends);
    set_while(judged, scene->setup.proof_limit_us, ends);
}

static void prepare_end(const struct scene *scene, const struct move *move, struct node *node,
                        unsigned t, unsigned e) {
    struct track_end_state *end = &node->state.track[t].end[e];
    struct seen_end *judged = &node->judge.track[t].end[e];
    end->is_proceed_wanted = move->is_proceed_wanted[t][e];
    end->approach_clear = (struct watch){.is_running = true, .left_us = SCENE_WHOLE_US};
    set_left(&end->approach_clear.left_us, move->ends.approach_clear[t][e]);
    set_left(&end->approach_lock_us, move->ends.approach_lock[t][e]);
    set_left(&judged->lock_left_us, move->ends.approach_lock[t][e]);
    set_left(&end->stop_clear.left_us, move->ends.stop_clear[t][e]);
    set_clear(scene, &judged->stop_clear, move->ends.stop_clear[t][e]);
    set_told(scene, &end->told_stop, &judged->told_stop, move->ends.told_stop[t][e]);
    set_told(scene, &end->told_off, &judged->told_off, move->ends.power_told_off);
    judged->approach_clear.was_so = true;
    set_clear(scene, &judged->approach_clear, move->ends.approach_clear[t][e]);
    if (move->ends.signal_proof) {
        end->signal_unproved = (struct watch){true, SCENE_TICK_US};
        judged->was_doubtful = true;
    }
}

static void prepare_track(const struct scene *scene, const struct move *move, struct node *node,
                          unsigned t) {
    struct track_state *track = &node->state.track[t];
    struct seen_track *judged = &node->judge.track[t];
    set_left(&track->span_clear.left_us, move->ends.span_clear[t]);
    set_clear(scene, &judged->span_clear, move->ends.span_clear[t]);
    set_told(scene, &track->told_off, &judged->told_off, move->ends.power_told_off);
    set_left(&track->run_out.left_us, move->ends.run_out[t]);
    if (scene->setup.track[t].run_out_us > 0) {
        set_while(&judged->running_out, scene->setup.track[t].run_out_us, move->ends.run_out[t]);
    }
    if (move->ends.power_proof) {
        track->power_unproved = (struct watch){true, SCENE_TICK_US};
    }
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        if (scene->setup.track[t].end[e].is_used) {
            prepare_end(scene, move, node, t, e);
        }
    }
}

/* The bar, where a contact is missing. */
static void prepare_lock(const struct scene *scene, const struct move *move, struct node *node) {
    uint32_t limit_us = scene->setup.lock_limit_us;
    set_left(&node->state.lock.driven.left_us, move->ends.bar);
    set_left(&node->state.lock.withdrawn.left_us, move->ends.bar);
    set_while(&node->judge.driven_in, limit_us, move->ends.bar);
    set_while(&node->judge.driven_out, limit_us, move->ends.bar);
}

static void prepare_motion(const struct scene *scene, const struct move *move,
                           struct motion_state *motion) {
    double position =
        scene->setup.motion.has_position ? move->inputs.position_frac : move->estimate_frac;
    motion->is_known = true;
    motion->position_frac = isfinite(position) ? position : 0;
    motion->window_frac = motion->position_frac;
    motion->watch_frac[0] = motion->watch_frac[1] = motion->position_frac;
    motion->rest_frac = motion->position_frac;
}

void moves_prepare(const struct scene *scene, const struct move *move, struct node *node) {
    struct bridge_state *state = &node->state;
    prepare_motion(scene, move, &state->motion);
    set_left(&state->phase_limit.left_us, move->ends.phase_limit);
    set_left(&state->warning_left_us, move->ends.warning);
    set_left(&state->horn.left_us, move->ends.horn);
    set_left(&state->push_left_us, move->ends.push);
    set_left(&state->jog.left_us, move->ends.jog);
    set_left(&state->throttle.left_us, move->ends.throttle);
    if (move->ends.phase_limit && state->throttle.share > 0 && state->phase_limit.left_us > 0) {
        state->phase_limit.left_us = 1; /* which a slower movement uses up, too */
    }
    set_left(&state->seen_clear_left_us, move->ends.word);
    set_left(&node->judge.word_left_us, move->ends.word);
    prepare_lock(scene, move, node);
    state->is_power_wanted = move->is_power_wanted;
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        prepare_track(scene, move, node, t);
    }
}
