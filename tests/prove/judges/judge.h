/* judge.h: the invariants over one step. What inputs and outputs alone can tell is judged by
 * support/core/invariants.h, with its own clocks; here is the rest of S5, S6, S8 and S9, which is
 * about the phase too. */
#ifndef PROVE_JUDGE_H
#define PROVE_JUDGE_H

#include "core/bridge.h"
#include "prove/judges/lengths.h"
#include "prove/moves/moves.h"
#include "prove/scenes/node.h"

/* Takes the step that `move` stands for. Returns NULL, or the number and words of what was broken;
 * `node` is then as the step left it. `outputs` may be NULL; so may `lengths`, where time is not
 * real. */
const char *judge_step(const struct scene *scene, const struct move *move, struct node *node,
                       struct lengths *lengths, struct bridge_outputs *outputs);

#endif
