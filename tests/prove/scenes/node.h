/* node.h: what of a bridge's past decides its future: the state of the core and the memory of the
 * judge, packed into few bits. What is not packed is lost between two steps; the comments in node.c
 * say for each such field why nothing is lost with it. */
#ifndef PROVE_NODE_H
#define PROVE_NODE_H

#include "core/bridge.h"
#include "prove/scenes/scene.h"
#include "support/core/invariants.h"

#include <stdint.h>

struct node {
    struct bridge_state state;
    struct seen judge;
};

enum { NODE_WORDS = 2 };

struct packed {
    uint64_t word[NODE_WORDS];
};

/* After any start of the daemon, whatever was before: the core remembers nothing, and the judge
 * holds that every signal may have shown proceed to a train until now. */
void node_start(const struct scene *scene, struct node *node);

/* Drops from `node` what it does not pack. */
struct packed node_pack(const struct scene *scene, struct node *node);
void node_unpack(const struct scene *scene, const struct packed *packed, struct node *node);

#endif
