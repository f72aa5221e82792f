#include "prove/walks/explorer.h"

#include "core/words/names.h"
#include "prove/judges/judge.h"
#include "prove/moves/moves.h"
#include "prove/moves/raw.h"
#include "prove/walks/found.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* How a state was first reached. */
struct arrival {
    uint32_t from; /* FOUND_NOTHING: the start */
    uint32_t move;
    uint32_t depth;
};

struct explorer {
    struct scene scene;
    struct explored result;
    struct found states; /* struct packed */
    struct arrival *arrival;
    size_t arrivals_room;
    uint32_t broken_from;
    uint32_t broken_move;
    bool was_raw;
    struct move raw; /* the unreduced step that broke something */
};

static const struct packed *state_at(const struct explorer *x, uint32_t number) {
    return found_at(&x->states, number);
}

static void add(struct explorer *x, const struct packed *packed, struct arrival arrival) {
    uint32_t before = x->states.count;
    uint32_t number = found_add(&x->states, packed);
    if (number != before) {
        return;
    }
    if (number == x->arrivals_room) {
        x->arrivals_room = x->states.room;
        x->arrival = found_grown(x->arrival, x->arrivals_room * sizeof *x->arrival);
    }
    x->arrival[number] = arrival;
    x->result.states = x->states.count;
    x->result.depth = arrival.depth > x->result.depth ? arrival.depth : x->result.depth;
    x->result.bytes = found_bytes(&x->states) + x->arrivals_room * sizeof *x->arrival;
}

/* ---- walking */

static void note(struct explored *result, const struct scene *scene, const struct node *node,
                 const struct bridge_outputs *out) {
    result->phases |= 1u << node->state.phase;
    result->has_driven = result->has_driven || out->lift_effort != 0;
    result->has_withdrawn = result->has_withdrawn || out->lock == LOCK_DRIVE_WITHDRAWN;
    result->has_locked = result->has_locked || out->lock == LOCK_DRIVE_DRIVEN;
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        result->has_powered = result->has_powered || out->track[t].span_power;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            result->has_cleared = result->has_cleared || out->track[t].end[e].signal_proceed;
        }
    }
}

/* Takes one move of a node; returns what it broke, or NULL. */
static const char *go(struct explorer *x, const struct moves *moves, unsigned index,
                      struct node *node) {
    struct move move;
    struct bridge_outputs outputs = {0};
    moves_at(moves, index, &move);
    *node = moves->node;
    x->result.steps++;
    if (move.is_restart) {
        node_start(&x->scene, node);
        return NULL;
    }
    moves_prepare(&x->scene, &move, node);
    const char *broken = judge_step(&x->scene, &move, node, NULL, &outputs);
    note(&x->result, &x->scene, node, &outputs);
    return broken;
}

static void walk_from(struct explorer *x, uint32_t from) {
    struct moves moves;
    moves_of(&x->scene, state_at(x, from), &moves);
    for (unsigned i = 0; i < moves.count && x->result.broken == NULL; i++) {
        struct node node;
        x->result.broken = go(x, &moves, i, &node);
        if (x->result.broken != NULL) {
            x->broken_from = from;
            x->broken_move = i;
            return;
        }
        struct packed packed = node_pack(&x->scene, &node);
        add(x, &packed, (struct arrival){from, i, x->arrival[from].depth + 1});
    }
}

void explorer_walk(struct explorer *x) {
    struct node node;
    node_start(&x->scene, &node);
    struct packed packed = node_pack(&x->scene, &node);
    add(x, &packed, (struct arrival){FOUND_NOTHING, 0, 0});
    for (uint32_t from = 0; from < x->result.states && x->result.broken == NULL; from++) {
        walk_from(x, from);
    }
}

/* ---- steps that are not reduced */

static const char *try_raw(struct explorer *x, const struct moves *moves, uint64_t *seed) {
    struct move move;
    struct node node = moves->node;
    moves_at(moves, raw_random(seed) % (moves->count - 1), &move);
    moves_prepare(&x->scene, &move, &node);
    raw_disturb(&x->scene, seed, &node, &move);
    x->raw = move;
    const char *broken = judge_step(&x->scene, &move, &node, NULL, NULL);
    struct packed packed = node_pack(&x->scene, &node);
    x->result.raw_steps++;
    if (broken == NULL && found_number(&x->states, &packed) == FOUND_NOTHING) {
        broken = "a step that was not reduced leads out of the states found";
    }
    return broken;
}

void explorer_try_raw(struct explorer *x, unsigned tries) {
    uint64_t seed = 1;
    for (uint32_t from = 0; from < x->result.states && x->result.broken == NULL; from++) {
        struct moves moves;
        moves_of(&x->scene, state_at(x, from), &moves);
        for (unsigned i = 0; i < tries && x->result.broken == NULL; i++) {
            x->result.broken = try_raw(x, &moves, &seed);
            x->broken_from = from;
            x->was_raw = true;
        }
    }
}

/* ---- telling */

static void tell_inputs(const struct bridge_setup *setup, const struct bridge_inputs *in) {
    static const char mark[] = {[LEVEL_UNKNOWN] = '?', [LEVEL_OFF] = '-', [LEVEL_ON] = '+'};
    printf("seated%c locked%c withdrawn%c open%c near%c rails%c stop%c lost%c at %.2f;",
           mark[in->seated], mark[in->locked], mark[in->withdrawn], mark[in->open],
           mark[in->nearly_seated], mark[in->rail[0]], mark[in->stop_circuit],
           in->is_device_lost ? '+' : '-', in->position_frac);
    for (unsigned t = 0; t < setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_inputs *end = &in->track[t].end[e];
            if (setup->track[t].end[e].is_used) {
                printf(" [%u/%u approach%c standing%c stop%c signal%c dead%c]", t, e,
                       mark[end->approach_clear], mark[end->standing], mark[end->stop_clear],
                       mark[end->signal_at_stop], mark[end->stop_dead]);
            }
        }
        printf(" [%u span%c dead%c]", t, mark[in->track[t].span_clear],
               mark[in->track[t].span_dead]);
    }
}

static void tell_step(struct explorer *x, uint32_t from, uint32_t index) {
    struct moves moves;
    struct move move;
    struct node node;
    moves_of(&x->scene, state_at(x, from), &moves);
    moves_at(&moves, index, &move);
    go(x, &moves, index, &node);
    printf("  %s", bridge_phase_name(moves.node.state.phase));
    if (move.is_restart) {
        printf(" restart");
    } else {
        printf(" request %d: ", (int)move.request.kind);
        tell_inputs(&x->scene.setup, &move.inputs);
    }
    printf(" -> %s\n", bridge_phase_name(node.state.phase));
}

static void tell_way_to(struct explorer *x, uint32_t state) {
    uint32_t *way = found_grown(NULL, (x->result.depth + 1) * sizeof *way);
    size_t length = 0;
    for (uint32_t at = state; x->arrival[at].from != FOUND_NOTHING; at = x->arrival[at].from) {
        way[length++] = at;
    }
    while (length > 0) {
        const struct arrival *arrival = &x->arrival[way[--length]];
        tell_step(x, arrival->from, arrival->move);
    }
    free(way);
}

void explorer_tell(struct explorer *x) {
    if (x->result.broken == NULL) {
        return;
    }
    tell_way_to(x, x->broken_from);
    if (!x->was_raw) {
        tell_step(x, x->broken_from, x->broken_move);
    } else {
        printf("  unreduced, request %d, %u us, %u us late: ", (int)x->raw.request.kind,
               x->raw.dt_us, x->raw.inputs.late_us);
        tell_inputs(&x->scene.setup, &x->raw.inputs);
        putchar('\n');
    }
    printf("  broken: %s\n", x->result.broken);
}

/* ---- */

struct explorer *explorer_new(const struct scene *scene) {
    struct explorer *x = found_grown(NULL, sizeof *x);
    memset(x, 0, sizeof *x);
    x->scene = *scene;
    found_start(&x->states, sizeof(struct packed));
    return x;
}

void explorer_free(struct explorer *x) {
    if (x != NULL) {
        found_free(&x->states);
        free(x->arrival);
        free(x);
    }
}

const struct explored *explorer_result(const struct explorer *x) {
    return &x->result;
}
