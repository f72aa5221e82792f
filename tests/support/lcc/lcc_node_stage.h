/* lcc_node_stage.h: a node without a bus: frames are given to it as text, and what it sends is kept
 * as text. Time is a number. */
#ifndef SUPPORT_LCC_NODE_STAGE_H
#define SUPPORT_LCC_NODE_STAGE_H

#include "protocol/lcc/node/node.h"

/* What the stage's node has. Want 1 is a stop, want 2 one for all. */
enum { STAGE_FACTS = 3, STAGE_WANTED = 4, STAGE_EVENTS = 2 * STAGE_FACTS + STAGE_WANTED };

struct lcc_node_stage {
    struct lcc_node_setup setup;
    struct lcc_node node;
    uint64_t now_us;
    char sent[65536];
    size_t length;
    unsigned frames; /* in `sent` */
};

/* Node 0A.44.52.00.00.01, with this many facts, not started. */
void lcc_node_stage_init(struct lcc_node_stage *stage, unsigned facts);

/* The same, until everything at its start is told; nothing is in `sent`. */
void lcc_node_stage_ready(struct lcc_node_stage *stage);

/* Gives frames, ":X...;:X...;", from a link 3 that may ask. */
void lcc_node_stage_give(struct lcc_node_stage *stage, const char *frames);

/* Runs for so long; all that may go goes, when it may. */
void lcc_node_stage_run(struct lcc_node_stage *stage, uint64_t us);

/* Gives, runs 10 ms, checks what was sent since the last check, and forgets it. */
void lcc_node_stage_answers(struct lcc_node_stage *stage, const char *frames, const char *wanted);

void lcc_node_stage_forget(struct lcc_node_stage *stage);

#endif
