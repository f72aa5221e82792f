#include "prove/explorer.h"

#include "core/names.h"
#include "prove/judge.h"
#include "prove/moves.h"
#include "prove/raw.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NONE = UINT32_MAX, FIRST_CAPACITY = 1024 };

/* How a state was first reached. */
struct arrival {
    uint32_t from;
    uint32_t move;
    uint32_t depth;
};

struct explorer {
    struct scene scene;
    struct explored result;
    struct packed *state;
    struct arrival *arrival;
    size_t capacity;
    uint32_t *table; /* open addressing; NONE: free */
    size_t table_size;
    uint32_t broken_from;
    uint32_t broken_move;
    bool was_raw;
};

/* ---- the set of states */

/* Multiplies and folds (D. Knuth, The Art of Computer Programming, 6.4; from memory). */
static uint64_t hash(const struct packed *packed) {
    uint64_t hash = 0;
    for (size_t i = 0; i < NODE_WORDS; i++) {
        hash = (hash ^ packed->word[i]) * 0x9e3779b97f4a7c15u;
        hash ^= hash >> 32;
    }
    return hash;
}

static void *grown(void *memory, size_t bytes) {
    void *more = realloc(memory, bytes);
    if (more == NULL) {
        fputs("explorer: out of memory\n", stderr);
        exit(EXIT_FAILURE);
    }
    return more;
}

static uint32_t *slot_of(const struct explorer *x, const struct packed *packed) {
    size_t at = hash(packed) & (x->table_size - 1);
    while (x->table[at] != NONE && memcmp(&x->state[x->table[at]], packed, sizeof *packed) != 0) {
        at = (at + 1) & (x->table_size - 1);
    }
    return &x->table[at];
}

static void grow(struct explorer *x) {
    x->capacity = x->capacity == 0 ? FIRST_CAPACITY : x->capacity * 2;
    x->table_size = x->capacity * 4;
    x->state = grown(x->state, x->capacity * sizeof *x->state);
    x->arrival = grown(x->arrival, x->capacity * sizeof *x->arrival);
    x->table = grown(x->table, x->table_size * sizeof *x->table);
    memset(x->table, 0xff, x->table_size * sizeof *x->table);
    for (size_t i = 0; i < x->result.states; i++) {
        *slot_of(x, &x->state[i]) = (uint32_t)i;
    }
    x->result.bytes =
        x->capacity * (sizeof *x->state + sizeof *x->arrival) + x->table_size * sizeof *x->table;
}

static void add(struct explorer *x, const struct packed *packed, struct arrival arrival) {
    if (x->result.states == x->capacity) {
        grow(x);
    }
    uint32_t *slot = slot_of(x, packed);
    if (*slot == NONE) {
        *slot = (uint32_t)x->result.states;
        x->state[x->result.states] = *packed;
        x->arrival[x->result.states++] = arrival;
        x->result.depth = arrival.depth > x->result.depth ? arrival.depth : x->result.depth;
    }
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
    const char *broken = judge_step(&x->scene, &move, node, &outputs);
    note(&x->result, &x->scene, node, &outputs);
    return broken;
}

static void walk_from(struct explorer *x, uint32_t from) {
    struct moves moves;
    moves_of(&x->scene, &x->state[from], &moves);
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
    add(x, &packed, (struct arrival){NONE, 0, 0});
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
    const char *broken = judge_step(&x->scene, &move, &node, NULL);
    struct packed packed = node_pack(&x->scene, &node);
    x->result.raw_steps++;
    if (broken == NULL && *slot_of(x, &packed) == NONE) {
        broken = "a step that was not reduced leads out of the states found";
    }
    return broken;
}

void explorer_try_raw(struct explorer *x, unsigned tries) {
    uint64_t seed = 1;
    for (uint32_t from = 0; from < x->result.states && x->result.broken == NULL; from++) {
        struct moves moves;
        moves_of(&x->scene, &x->state[from], &moves);
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
    moves_of(&x->scene, &x->state[from], &moves);
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
    uint32_t *way = grown(NULL, (x->result.depth + 1) * sizeof *way);
    size_t length = 0;
    for (uint32_t at = state; x->arrival[at].from != NONE; at = x->arrival[at].from) {
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
    }
    printf("  broken: %s\n", x->result.broken);
}

/* ---- */

struct explorer *explorer_new(const struct scene *scene) {
    struct explorer *x = grown(NULL, sizeof *x);
    memset(x, 0, sizeof *x);
    x->scene = *scene;
    return x;
}

void explorer_free(struct explorer *x) {
    if (x != NULL) {
        free(x->state);
        free(x->arrival);
        free(x->table);
        free(x);
    }
}

const struct explored *explorer_result(const struct explorer *x) {
    return &x->result;
}
