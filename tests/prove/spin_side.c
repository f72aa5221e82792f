#include "prove/spin_side.h"

#include "prove/judges/judge.h"
#include "prove/moves/moves.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct packed spin_node;
struct loop spin_loop;

static struct scene scene;
static struct moves moves;
static struct packed moves_are_of;
static bool has_moves;

static void find_scene(void) {
    const char *name = getenv("SCENE");
    if (name == NULL || !scene_find(name, &scene)) {
        fprintf(stderr, "no scene is called \"%s\"\n", name == NULL ? "" : name);
        exit(EXIT_FAILURE);
    }
}

void spin_begin(void) {
    struct node node;
    find_scene();
    node_start(&scene, &node);
    spin_node = node_pack(&scene, &node);
}

static void look(void) {
    if (!has_moves || memcmp(&moves_are_of, &spin_node, sizeof spin_node) != 0) {
        moves_of(&scene, &spin_node, &moves);
        moves_are_of = spin_node;
        has_moves = true;
    }
}

unsigned spin_moves(void) {
    look();
    return moves.count;
}

int spin_take(unsigned index) {
    struct move move;
    const char *broken = NULL;
    look();
    struct node node = moves.node;
    moves_at(&moves, index, &move);
    if (move.is_restart) {
        node_start(&scene, &node);
    } else {
        moves_prepare(&scene, &move, &node);
        broken = judge_step(&scene, &move, &node, NULL, NULL);
    }
    spin_node = node_pack(&scene, &node);
    if (broken != NULL) {
        fprintf(stderr, "%s\n", broken);
    }
    return broken == NULL;
}

/* ---- events, numbered */

enum { NUMBERS_MAX = 31 };

struct numbered {
    enum loop_event event;
    unsigned track, end;
};

static struct numbered numbered[NUMBERS_MAX];
static int numbers;
static int fair_numbers;

static void number(enum loop_event event, unsigned track, unsigned end) {
    if (numbers == NUMBERS_MAX) {
        fputs("too many events for this scene\n", stderr);
        exit(EXIT_FAILURE);
    }
    numbered[numbers++] = (struct numbered){event, track, end};
    fair_numbers += event < EVENTS_FAIR;
}

static void number_event(enum loop_event event) {
    unsigned tracks = loop_event_is_of_track(event) ? scene.setup.tracks : 1;
    unsigned ends = loop_event_is_of_end(event) ? TRACK_ENDS : 1;
    for (unsigned t = 0; t < tracks; t++) {
        for (unsigned e = 0; e < ends; e++) {
            bool is_used = ends == 1 || scene.setup.track[t].end[e].is_used;
            if (is_used && loop_event_is_there(&scene, event, t)) {
                number(event, t, e);
            }
        }
    }
}

void spin_loop_begin(int place) {
    find_scene();
    loop_start(&scene, (enum place)place, &spin_loop);
    numbers = fair_numbers = 0;
    for (enum loop_event event = 0; event < EVENTS; event++) {
        number_event(event);
    }
}

int spin_events_fair(void) {
    return fair_numbers;
}

int spin_events(void) {
    return numbers;
}

int spin_events_now(void) {
    unsigned now = 0;
    for (int i = 0; i < numbers; i++) {
        const struct numbered *n = &numbered[i];
        now |= loop_can(&scene, &spin_loop, n->event, n->track, n->end) ? 1u << i : 0;
    }
    return (int)now;
}

int spin_event(int chosen) {
    const struct numbered *n = &numbered[chosen];
    const char *broken = loop_go(&scene, &spin_loop, n->event, n->track, n->end);
    if (broken != NULL) {
        fprintf(stderr, "%s\n", broken);
    }
    return broken == NULL;
}
