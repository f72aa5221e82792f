#include "prove/progress.h"

#include "core/names.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NONE = UINT32_MAX };

static const char *const event_names[EVENTS] = {
    [EVENT_STEP] = "step",
    [EVENT_LIFT] = "the span moves",
    [EVENT_BAR] = "the bar moves",
    [EVENT_WARNING] = "warning over",
    [EVENT_HORN] = "horn over",
    [EVENT_PUSH] = "push over",
    [EVENT_SETTLE] = "settled",
    [EVENT_SPAN_CLEAR] = "span section believed clear",
    [EVENT_STOP_CLEAR] = "stop section believed clear",
    [EVENT_APPROACH_LOCK] = "approach locking over",
    [EVENT_TRAIN] = "a train goes on or stands",
    [EVENT_GIVE_UP] = "given up for a train without power",
    [EVENT_ARRIVAL] = "a train comes",
    [EVENT_OVERRUN] = "a train overruns its signal",
    [EVENT_RAISE] = "raise",
    [EVENT_LOWER] = "lower",
    [EVENT_STOP] = "stop",
    [EVENT_TIME_OUT] = "trains did not clear in time",
    [EVENT_RESTART] = "restart",
};

/* A fair step from one state to another. */
struct edge {
    uint32_t from, to;
};

struct walk {
    const struct scene *scene;
    struct progress result;
    struct loop *state;
    uint32_t *came_from;
    uint8_t *came_by;
    bool *is_good; /* nothing stands, or fair events lead there */
    struct edge *edge;
    size_t edges, edges_room;
    uint32_t *table;
    size_t room, table_size;
    uint32_t broken_at;
};

static void *grown(void *memory, size_t bytes) {
    void *more = realloc(memory, bytes);
    if (more == NULL) {
        fputs("progress: out of memory\n", stderr);
        exit(EXIT_FAILURE);
    }
    return more;
}

static uint64_t hash(const struct loop *loop) {
    uint64_t words[sizeof *loop / 8];
    uint64_t hash = 0;
    memcpy(words, loop, sizeof words);
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        hash = (hash ^ words[i]) * 0x9e3779b97f4a7c15u;
        hash ^= hash >> 32;
    }
    return hash;
}

static uint32_t *slot_of(const struct walk *w, const struct loop *loop) {
    size_t at = hash(loop) & (w->table_size - 1);
    while (w->table[at] != NONE && memcmp(&w->state[w->table[at]], loop, sizeof *loop) != 0) {
        at = (at + 1) & (w->table_size - 1);
    }
    return &w->table[at];
}

static void grow(struct walk *w) {
    w->room = w->room == 0 ? 1024 : w->room * 2;
    w->table_size = w->room * 4;
    w->state = grown(w->state, w->room * sizeof *w->state);
    w->came_from = grown(w->came_from, w->room * sizeof *w->came_from);
    w->came_by = grown(w->came_by, w->room);
    w->table = grown(w->table, w->table_size * sizeof *w->table);
    memset(w->table, 0xff, w->table_size * sizeof *w->table);
    for (size_t i = 0; i < w->result.states; i++) {
        *slot_of(w, &w->state[i]) = (uint32_t)i;
    }
}

static uint32_t add(struct walk *w, const struct loop *loop, uint32_t from, enum loop_event event) {
    if (w->result.states == w->room) {
        grow(w);
    }
    uint32_t *slot = slot_of(w, loop);
    if (*slot == NONE) {
        *slot = (uint32_t)w->result.states++;
        w->state[*slot] = *loop;
        w->came_from[*slot] = from;
        w->came_by[*slot] = (uint8_t)event;
        w->result.phases |= 1u << loop_phase(w->scene, loop);
        w->result.standing += loop->asked != ASKED_NOTHING;
    }
    return *slot;
}

static void add_edge(struct walk *w, uint32_t from, uint32_t to) {
    if (w->edges == w->edges_room) {
        w->edges_room = w->edges_room == 0 ? 4096 : w->edges_room * 2;
        w->edge = grown(w->edge, w->edges_room * sizeof *w->edge);
    }
    w->edge[w->edges++] = (struct edge){from, to};
}

static void go(struct walk *w, uint32_t from, enum loop_event event, unsigned t, unsigned e) {
    struct loop loop = w->state[from];
    if (!loop_can(w->scene, &loop, event, t, e)) {
        return;
    }
    const char *broken = loop_go(w->scene, &loop, event, t, e);
    uint32_t to = add(w, &loop, from, event);
    w->result.steps++;
    if (broken != NULL && w->result.broken == NULL) {
        w->result.broken = broken;
        w->broken_at = to;
    }
    if (event < EVENTS_FAIR) {
        add_edge(w, from, to);
    }
}

static void walk_from(struct walk *w, uint32_t from) {
    for (enum loop_event event = 0; event < EVENTS; event++) {
        unsigned tracks = loop_event_is_of_track(event) ? w->scene->setup.tracks : 1;
        unsigned ends = loop_event_is_of_end(event) ? TRACK_ENDS : 1;
        for (unsigned t = 0; t < tracks; t++) {
            for (unsigned e = 0; e < ends; e++) {
                go(w, from, event, t, e);
            }
        }
    }
}

/* Spreads "good" against the edges until nothing changes. */
static void find_good(struct walk *w) {
    w->is_good = grown(w->is_good, w->result.states * sizeof *w->is_good);
    for (size_t i = 0; i < w->result.states; i++) {
        w->is_good[i] = w->state[i].asked == ASKED_NOTHING;
    }
    for (bool is_changed = true; is_changed;) {
        is_changed = false;
        for (size_t i = w->edges; i-- > 0;) {
            if (w->is_good[w->edge[i].to] && !w->is_good[w->edge[i].from]) {
                w->is_good[w->edge[i].from] = true;
                is_changed = true;
            }
        }
    }
    for (uint32_t i = 0; i < w->result.states && w->result.broken == NULL; i++) {
        if (!w->is_good[i]) {
            w->result.broken = "L1: no fair event leads to what was asked for";
            w->broken_at = i;
        }
    }
}

static void tell(const struct walk *w) {
    uint32_t way[512];
    size_t length = 0;
    for (uint32_t at = w->broken_at; at != NONE && length < sizeof way / sizeof way[0];
         at = w->came_from[at]) {
        way[length++] = at;
    }
    while (length > 0) {
        const struct loop *loop = &w->state[way[--length]];
        printf("  %s: %s, asked %u, place %u, bar %u, trains", event_names[w->came_by[way[length]]],
               bridge_phase_name(loop_phase(w->scene, loop)), loop->asked, loop->place, loop->bar);
        for (unsigned t = 0; t < w->scene->setup.tracks; t++) {
            printf(" %u %u", loop->train[t][0], loop->train[t][1]);
        }
        putchar('\n');
    }
    printf("  broken: %s\n", w->result.broken);
}

struct progress progress_walk(const struct scene *scene) {
    struct walk w = {.scene = scene};
    for (enum place place = 0; place < PLACES; place++) {
        struct loop loop;
        loop_start(scene, place, &loop);
        add(&w, &loop, NONE, EVENT_RESTART);
    }
    for (uint32_t from = 0; from < w.result.states && w.result.broken == NULL; from++) {
        walk_from(&w, from);
    }
    if (w.result.broken == NULL) {
        find_good(&w);
    }
    if (w.result.broken != NULL) {
        tell(&w);
    }
    free(w.state);
    free(w.came_from);
    free(w.came_by);
    free(w.is_good);
    free(w.edge);
    free(w.table);
    return w.result;
}
