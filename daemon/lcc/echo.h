/* echo.h: frames that come back by another way than they came, or that are our own. A network of
 * LCC must be a tree; where it is not, as between two daemons that connect to one another, a frame
 * would go round for ever. Pure; times in microseconds. */
#ifndef LCC_ECHO_H
#define LCC_ECHO_H

#include "protocol/lcc/frame.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    ECHO_US = 1000000, /* what comes later is news */
    ECHO_SETS = 64,
    ECHO_PLACES = 4,
    ECHO_LOOP = 8 /* so many within ECHO_US: nothing but a loop makes them */
};

struct echo_frame {
    struct lcc_frame frame;
    unsigned link; /* that it came by; 0: sent by a node of ours */
    bool is_there;
    uint64_t at_us;
};

/* All zero has seen nothing. */
struct echo {
    struct echo_frame seen[ECHO_SETS][ECHO_PLACES]; /* the last few with each sum */
};

/* Returns the frame if it was seen lately by another way, else NULL; then it counts as seen by this
 * way now. */
const struct echo_frame *echo_find(struct echo *echo, const struct lcc_frame *frame, unsigned link,
                                   uint64_t now_us);

/* How many came by one link lately. All zero: none. */
struct echo_count {
    unsigned count;
    uint64_t since_us, last_us;
    bool is_loop;
};

/* One has come. Returns whether that makes it a loop, once. */
bool echo_count(struct echo_count *count, uint64_t now_us);

/* Whether this frame, which is an echo, is to be passed over. One without content may be of another
 * node that wants the same alias: only where there is a loop. */
bool echo_is_dropped(const struct echo_count *count, const struct lcc_frame *frame);

#endif
