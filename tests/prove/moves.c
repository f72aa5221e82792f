#include "prove/moves.h"

#include "prove/show.h"

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

/* Occupied; or believed clear. Clear, but not yet long enough, is to the core as occupied. */
static void read_approach(struct move *move, const struct choice *choice, unsigned value) {
    struct track_end_inputs *end = &move->inputs.track[choice->track].end[choice->end];
    end->approach_clear = show_on_if(value == 1);
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
    case CHOICE_WANTED:
        want(moves, move, choice, value);
        break;
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
static void set_clear(const struct scene *scene, struct judged_section *section, bool ends) {
    if (section->clear_for_us < scene->setup.clear_us) {
        section->clear_for_us = ends ? SCENE_WHOLE_US - SCENE_TICK_US : 0;
    }
}

static void prepare_end(const struct scene *scene, const struct move *move, struct node *node,
                        unsigned t, unsigned e) {
    struct track_end_state *end = &node->state.track[t].end[e];
    end->is_proceed_wanted = move->is_proceed_wanted[t][e];
    end->approach_clear = (struct watch){.is_running = true, .left_us = SCENE_WHOLE_US};
    set_left(&end->approach_clear.left_us, move->ends.approach_clear[t][e]);
    set_left(&end->approach_lock_us, move->ends.approach_lock[t][e]);
    set_left(&node->judge.lock_left_us[t][e], move->ends.approach_lock[t][e]);
    set_left(&end->stop_clear.left_us, move->ends.stop_clear[t][e]);
    set_clear(scene, &node->judge.stop[t][e], move->ends.stop_clear[t][e]);
    node->judge.approach[t][e].was_clear = true;
    set_clear(scene, &node->judge.approach[t][e], move->ends.approach_clear[t][e]);
}

static void prepare_motion(const struct scene *scene, const struct move *move,
                           struct motion_state *motion) {
    double position =
        scene->setup.motion.has_position ? move->inputs.position_frac : move->estimate_frac;
    motion->is_known = true;
    motion->position_frac = isfinite(position) ? position : 0;
    motion->window_frac = motion->position_frac;
    motion->watch_frac = motion->position_frac;
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
    state->is_power_wanted = move->is_power_wanted;
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        set_left(&state->track[t].span_clear.left_us, move->ends.span_clear[t]);
        set_clear(scene, &node->judge.span[t], move->ends.span_clear[t]);
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (scene->setup.track[t].end[e].is_used) {
                prepare_end(scene, move, node, t, e);
            }
        }
    }
}
