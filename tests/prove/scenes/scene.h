/* scene.h: the bridges that are explored. All times are alike: the explorer lets every countdown
 * end, or go on, in any step that it likes, so that their lengths do not matter. */
#ifndef PROVE_SCENE_H
#define PROVE_SCENE_H

#include "core/data/setup.h"

#include <stdbool.h>
#include <stddef.h>

/* One step takes SCENE_TICK_US; a countdown set to SCENE_WHOLE_US outlives it, one set to
 * SCENE_TICK_US ends in it. */
enum { SCENE_TICK_US = 1000000, SCENE_WHOLE_US = 2 * SCENE_TICK_US };

/* What a throttle asks for: of full speed. */
#define SCENE_SHARE 0.5

struct scene {
    const char *name;
    const char *about;
    struct bridge_setup setup;
    unsigned raw_tries; /* unreduced random steps tried from each state */
    bool has_throttle;  /* somebody may run the span by hand */
};

enum { SCENES = 18 };

/* The scene by its number, 0..SCENES-1. */
struct scene scene_at(size_t index);

/* Fills `scene`; returns false if there is none of that name. */
bool scene_find(const char *name, struct scene *scene);

/* What is missing, so that time or somebody's word must stand for it: a detector of a section; a
 * contact of a driven bar; a proof of a signal or of power. */
bool scene_is_unwatched(const struct bridge_setup *setup);
bool scene_is_bar_blind(const struct bridge_setup *setup);
bool scene_lacks_proofs(const struct bridge_setup *setup);

#endif
