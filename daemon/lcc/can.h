/* can.h: a CAN bus of this computer as a link. A bus on which nobody acknowledges takes no frame:
 * what waits for it is bounded, and dropped whole when it is too much; once it takes frames again
 * the nodes start anew, and tell all states. */
#ifndef LCC_CAN_H
#define LCC_CAN_H

#include "lcc/bus.h"
#include "lcc/retry.h"
#include "lcc/setup.h"

enum { CAN_QUEUE = 256, CAN_PAUSE_MS = 5 };

/* All zero is not open. */
struct can {
    struct lcc_link link; /* first */
    const struct lcc_can_setup *setup;
    struct bus *bus;
    struct socket_watch socket;
    struct lcc_frame queue[CAN_QUEUE];
    unsigned first, count;
    bool is_up, is_lost, is_told;
    bool is_stuck; /* frames were dropped, and none has gone since */
    struct retry retry;
    struct event *again; /* to open it, or to write on */
};

/* Begins to open it, again and again. Returns false without memory. `setup` must outlive it. */
bool can_open(struct can *can, struct bus *bus, const struct lcc_can_setup *setup);
void can_close(struct can *can);

#endif
