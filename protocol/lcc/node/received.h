/* received.h: events that were reported to a node, until its owner takes them. Stops come first and
 * are never dropped; another that nobody took for LCC_STALE_US is, and so is the oldest of too
 * many. The same event of the same link is kept once. */
#ifndef PROTOCOL_LCC_NODE_RECEIVED_H
#define PROTOCOL_LCC_NODE_RECEIVED_H

#include "protocol/lcc/node/setup.h"

enum { LCC_RECEIVED_MAX = 16, LCC_STALE_US = 2000000 };

struct lcc_received {
    unsigned want;   /* index in the node's setup */
    unsigned link;   /* as the owner gave it with the frame */
    uint16_t source; /* alias */
    uint64_t at_us;
};

/* All zero is empty. */
struct lcc_received_queue {
    struct lcc_received stop[LCC_WANTED_MAX]; /* one place for each event */
    bool is_stop_received[LCC_WANTED_MAX];
    unsigned stops;
    struct lcc_received other[LCC_RECEIVED_MAX]; /* the oldest first */
    unsigned others;
};

void lcc_received_add(struct lcc_received_queue *queue, const struct lcc_received *received,
                      bool is_stop);

/* Takes the next. Returns false if there is none. */
bool lcc_received_take(struct lcc_received_queue *queue, uint64_t now_us,
                       struct lcc_received *received);

#endif
