/* link.h: one way to other nodes: a TCP connection, or a CAN bus. Frames in go to the bus, frames
 * of the bus go out. */
#ifndef LCC_LINK_H
#define LCC_LINK_H

#include "lcc/echo.h"
#include "sockets/setup.h"

#include <stdbool.h>
#include <stdint.h>
#include <sys/queue.h>

struct bus;

enum { LCC_LINK_NAME_SIZE = 96 };

/* Part of what a kind of link has. */
struct lcc_link {
    struct bus *bus;      /* NULL: not on it */
    unsigned number;      /* of this link alone, from 1 up */
    enum net_right right; /* NET_OPERATE: its events are requests */
    int32_t who;          /* 0: it has not asked yet */
    struct echo_count echoes;
    char name[LCC_LINK_NAME_SIZE];
    /* Sends a frame, or drops it; may not leave the bus from within. */
    void (*send)(struct lcc_link *link, const struct lcc_frame *frame);
    /* Hands a frame over as far as the kernel takes it at once, past all that waits.
     * Async-signal-safe. */
    void (*crash_send)(const struct lcc_link *link, const struct lcc_frame *frame);
    /* All frames of this turn are given. */
    void (*flush)(struct lcc_link *link);
    TAILQ_ENTRY(lcc_link) others;
};

/* The number by which the record knows who asks; the host is told of a new one. */
int32_t lcc_link_who(struct lcc_link *link);

#endif
