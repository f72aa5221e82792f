/* raw.h: random steps that the reduction leaves out, to try whether it may leave them out. */
#ifndef PROVE_RAW_H
#define PROVE_RAW_H

#include "prove/moves/moves.h"

#include <stdint.h>

/* Numbers by a fixed rule (xorshift64*, S. Vigna 2016): the same in every run. Not 0 at first. */
uint32_t raw_random(uint64_t *seed);

/* Changes a prepared node and its move at random: some inputs to any level, position and current
 * to any of many values, any request of any place, any time, anything that node.c forgets. */
void raw_disturb(const struct scene *scene, uint64_t *seed, struct node *node, struct move *move);

#endif
