/* clocked.h: the core as it is, nothing of it reduced or forgotten, walked through every state that
 * it can reach in a world of a few true lengths: each step takes one tick, each time is a few of
 * them, and the span goes in small steps where it is driven. In each such world only some things
 * are at liberty to go wrong, or to be asked; so that all they can do together, at any tick, is
 * tried. */
#ifndef PROVE_CLOCKED_H
#define PROVE_CLOCKED_H

#include "core/bridge.h"

#include <stdbool.h>
#include <stddef.h>

/* What is at liberty, in each step: a bit each. */
enum liberty {
    FREE_RAISE_LOWER = 1 << 0,
    FREE_STOP = 1 << 1,
    FREE_JOG = 1 << 2,
    FREE_EMERGENCY = 1 << 3, /* and acknowledge, and power on */
    FREE_APPROACH = 1 << 4,
    FREE_STOP_SECTION = 1 << 5,
    FREE_SPAN_SECTION = 1 << 6,
    FREE_STANDING = 1 << 7,
    FREE_SIGNAL_PROOF = 1 << 8, /* of end 0 */
    FREE_POWER_PROOF = 1 << 9,  /* of the span section */
    FREE_SPAN = 1 << 10,        /* sticks, or moves by itself, or too fast */
    FREE_CURRENT = 1 << 11,
    FREE_CONTACT = 1 << 12,  /* seated flickers */
    FREE_RAIL = 1 << 13,     /* the last flickers */
    FREE_READINGS = 1 << 14, /* no position and no contact reads anything, from the start on */
    FREE_LATE = 1 << 15,     /* looks come late */
    FREE_RESTART = 1 << 16,
    FREE_PROCEED = 1 << 17, /* signals are asked to stop, or to clear */
    FREE_WORD = 1 << 18,    /* somebody says that the span is seen clear */
    FREE_LOST = 1 << 19,    /* the device */
    FREE_APPROACH_1 = 1 << 20,
    FREE_OPEN = 1 << 22,     /* the open contact may be dead */
    FREE_BAR = 1 << 24,      /* does not go, though driven */
    FREE_STICK = 1 << 23,    /* the span, and nothing else of it */
    FREE_THROTTLE = 1 << 25, /* of a few shares, and held on or not */
    FREE_OPENING = 1 << 21,  /* raise and lower, one after the other where it is reached */
};

enum { CLOCK_SEATED = 1, CLOCK_HALF = 2, CLOCK_OPEN = 4 };

struct clock_scene {
    const char *name;
    const char *about;
    struct bridge_setup setup;
    uint32_t tick_us;
    unsigned free;
    int places;     /* of the span on its way; seated is 0 */
    unsigned start; /* where the span may be at first: a bit each */
    bool is_sound;  /* nothing at liberty is a fault: none may occur */
};

size_t clock_scenes(void);
struct clock_scene clock_scene_at(size_t index);
bool clock_scene_find(const char *name, struct clock_scene *scene);

struct clocked {
    size_t states;
    size_t steps;
    uint32_t phases; /* seen, a bit each */
    uint32_t faults;
    const char *broken; /* NULL: nothing */
};

/* Tells the way to what is broken on standard output. Out of memory ends the program. */
struct clocked clocked_walk(const struct clock_scene *scene);

#endif
