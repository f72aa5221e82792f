/* explorer.h: walks every state that a scene's bridge can reach, breadth first, and judges every
 * step. Exhaustive: states are stored whole, none is hashed away. */
#ifndef PROVE_EXPLORER_H
#define PROVE_EXPLORER_H

#include "prove/scenes/node.h"
#include "prove/scenes/scene.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct explorer;

/* What was seen at least once: a search that never drove the lift would prove little. */
struct explored {
    size_t states;
    size_t steps;
    size_t raw_steps;
    unsigned depth;
    uint32_t phases; /* a bit each */
    bool has_driven, has_withdrawn, has_locked, has_powered, has_cleared;
    size_t bytes;
    const char *broken; /* NULL: nothing */
};

/* Out of memory ends the program. */
struct explorer *explorer_new(const struct scene *scene);
void explorer_free(struct explorer *explorer);
/* Stops at the first broken invariant. */
void explorer_walk(struct explorer *explorer);

/* From every state found, `tries` random steps with inputs, requests, times and forgotten fields
 * that are not reduced: each must keep the invariants and lead to a state that was found. */
void explorer_try_raw(struct explorer *explorer, unsigned tries);

const struct explored *explorer_result(const struct explorer *explorer);

/* The way to the broken step, for people: a line a step. Empty if nothing is broken. */
void explorer_tell(struct explorer *explorer);

#endif
