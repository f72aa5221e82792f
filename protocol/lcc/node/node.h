/* node.h: one node of the bus. Frames come in, frames go out, what was asked of it is taken by its
 * owner; it has no socket and no clock. Times are microseconds of any clock that does not run
 * backwards. A node answers while it tells, and remembers nobody's node id: aliases are enough. */
#ifndef PROTOCOL_LCC_NODE_NODE_H
#define PROTOCOL_LCC_NODE_NODE_H

#include "protocol/lcc/node/node_state.h"

/* `setup` must outlive the node. It does not start. */
void lcc_node_init(struct lcc_node *node, const struct lcc_node_setup *setup);

/* Starts, or starts anew: an alias, and then all states are told. */
void lcc_node_start(struct lcc_node *node);

/* The bus is gone: nothing is sent until lcc_node_start(); what was not sent is dropped. */
void lcc_node_stop(struct lcc_node *node);

/* Something is so, or not, or not known. */
void lcc_node_set(struct lcc_node *node, unsigned fact, enum lcc_truth truth);

/* Tells a command again. */
void lcc_node_repeat(struct lcc_node *node, unsigned fact);

/* Asks who produces an event, and whether it holds. Returns false if nothing can be asked now. */
bool lcc_node_identify(struct lcc_node *node, uint64_t event);

/* The frame that reports an event at once, past all that waits. Returns false if the node may not
 * send. Async-signal-safe. */
bool lcc_node_report_now(const struct lcc_node *node, uint64_t event, struct lcc_frame *frame);

/* Where a frame came from; `link` is handed back with what was heard in it. */
struct lcc_origin {
    unsigned link;
    bool may_ask; /* events of this link are requests, not only those that are for all */
};

/* Takes a frame of another node. */
void lcc_node_take(struct lcc_node *node, uint64_t now_us, const struct lcc_frame *frame,
                   struct lcc_origin origin);

/* Fills the next frame to send. Returns false if none may go now. */
bool lcc_node_next(struct lcc_node *node, uint64_t now_us, struct lcc_frame *frame);

/* Returns when lcc_node_next() may have a frame, if no other comes; UINT64_MAX: never. */
uint64_t lcc_node_due_us(const struct lcc_node *node);

/* Takes an event that was reported. Returns false if there is none. */
bool lcc_node_received(struct lcc_node *node, uint64_t now_us, struct lcc_received *received);

/* Takes an event that was not heard, for its link may not ask; the last, if there were more.
 * Returns false if there is none. */
bool lcc_node_refused(struct lcc_node *node, struct lcc_received *refused);

/* Returns the alias of another node that has this node's id, once each time it is seen; 0: none. */
uint16_t lcc_node_twin(struct lcc_node *node);

#endif
