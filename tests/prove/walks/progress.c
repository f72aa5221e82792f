#include "prove/walks/progress.h"

#include "core/words/names.h"
#include "prove/walks/found.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const event_names[EVENTS] = {
    [EVENT_STEP] = "step",
    [EVENT_LIFT] = "the span moves",
    [EVENT_BAR] = "the bar moves",
    [EVENT_WARNING] = "warning over",
    [EVENT_HORN] = "horn over",
    [EVENT_PUSH] = "push over",
    [EVENT_JOG_END] = "jog over",
    [EVENT_SETTLE] = "settled",
    [EVENT_SPAN_CLEAR] = "span section believed clear",
    [EVENT_STOP_CLEAR] = "stop section believed clear",
    [EVENT_APPROACH_LOCK] = "approach locking over",
    [EVENT_RUN_OUT] = "run out",
    [EVENT_TOLD_STOP] = "told stop for long enough",
    [EVENT_TOLD_OFF] = "told off for long enough",
    [EVENT_BAR_TIME] = "bar driven for long enough",
    [EVENT_WORD] = "somebody's word",
    [EVENT_WORD_OVER] = "the word is over",
    [EVENT_TRAIN] = "a train goes on or stands",
    [EVENT_GIVE_UP] = "given up for a train without power",
    [EVENT_ARRIVAL] = "a train comes",
    [EVENT_OVERRUN] = "a train overruns its signal",
    [EVENT_RAISE] = "raise",
    [EVENT_LOWER] = "lower",
    [EVENT_STOP] = "stop",
    [EVENT_JOG_UP] = "jog up",
    [EVENT_JOG_DOWN] = "jog down",
    [EVENT_THROTTLE_UP] = "throttle up",
    [EVENT_THROTTLE_DOWN] = "throttle down",
    [EVENT_LET_GO] = "throttle let go",
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
    struct found states; /* struct loop */
    uint32_t *came_from; /* FOUND_NOTHING: a start */
    uint8_t *came_by;
    size_t came_room;
    bool *is_good; /* nothing stands, or fair events lead there */
    struct edge *edge;
    size_t edges, edges_room;
    uint32_t broken_at;
};

static const struct loop *state_at(const struct walk *w, uint32_t number) {
    return found_at(&w->states, number);
}

static uint32_t add(struct walk *w, const struct loop *loop, uint32_t from, enum loop_event event) {
    uint32_t before = w->states.count;
    uint32_t number = found_add(&w->states, loop);
    if (number != before) {
        return number;
    }
    if (number == w->came_room) {
        w->came_room = w->states.room;
        w->came_from = found_grown(w->came_from, w->came_room * sizeof *w->came_from);
        w->came_by = found_grown(w->came_by, w->came_room);
    }
    w->came_from[number] = from;
    w->came_by[number] = (uint8_t)event;
    w->result.states = w->states.count;
    w->result.phases |= 1u << loop_phase(w->scene, loop);
    w->result.standing += loop->asked != ASKED_NOTHING;
    return number;
}

static void add_edge(struct walk *w, uint32_t from, uint32_t to) {
    if (w->edges == w->edges_room) {
        w->edges_room = w->edges_room == 0 ? 4096 : w->edges_room * 2;
        w->edge = found_grown(w->edge, w->edges_room * sizeof *w->edge);
    }
    w->edge[w->edges++] = (struct edge){from, to};
}

static void go(struct walk *w, uint32_t from, enum loop_event event, unsigned t, unsigned e) {
    struct loop loop = *state_at(w, from);
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
    w->is_good = found_grown(w->is_good, w->result.states * sizeof *w->is_good);
    for (uint32_t i = 0; i < w->result.states; i++) {
        w->is_good[i] = state_at(w, i)->asked == ASKED_NOTHING;
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
    for (uint32_t at = w->broken_at; at != FOUND_NOTHING && length < sizeof way / sizeof way[0];
         at = w->came_from[at]) {
        way[length++] = at;
    }
    while (length > 0) {
        const struct loop *loop = state_at(w, way[--length]);
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
    found_start(&w.states, sizeof(struct loop));
    for (enum place place = 0; place < PLACES; place++) {
        struct loop loop;
        loop_start(scene, place, &loop);
        add(&w, &loop, FOUND_NOTHING, EVENT_RESTART);
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
    found_free(&w.states);
    free(w.came_from);
    free(w.came_by);
    free(w.is_good);
    free(w.edge);
    return w.result;
}
