/* glow.h: how bright one output of a scene is: delays, fades and flashing. Pure: times come in as
 * arguments, in microseconds of layout time. */
#ifndef EFFECTS_SCENE_GLOW_H
#define EFFECTS_SCENE_GLOW_H

#include "effects/scene/setup.h"

#include <stdbool.h>
#include <stdint.h>

#define GLOW_NEVER UINT64_MAX

enum { GLOW_FADE_STEP_US = 20000 };

/* All zero: off. */
struct glow {
    bool is_wanted;
    uint64_t wanted_us; /* since when it is or is not */
    bool is_on;         /* the same after the delays */
    uint64_t on_us;     /* since when it is on */
    double level;       /* 0..1, of the fade */
    uint64_t level_us;  /* when it was that */
};

/* Returns how bright it is now, 0..1. Times never go backwards. */
double glow_step(const struct scene_output *setup, struct glow *glow, bool is_wanted,
                 uint64_t now_us);

/* Returns when glow_step() may have another answer; GLOW_NEVER: not until something is wanted
 * differently. */
uint64_t glow_due_us(const struct scene_output *setup, const struct glow *glow, uint64_t now_us);

#endif
