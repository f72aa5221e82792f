/* bus.h: all links and all nodes of the daemon as one bus: what comes from one goes to all others,
 * unchanged and in order, and never back. */
#ifndef LCC_BUS_H
#define LCC_BUS_H

#include "lcc/echo.h"
#include "lcc/host.h"
#include "lcc/link.h"
#include "lcc/member.h"
#include "sockets/sockets.h"

struct event;
struct event_base;

TAILQ_HEAD(link_list, lcc_link);

struct bus {
    struct event_base *base;
    const struct lcc_host *host;
    struct sockets sockets; /* of all links */
    struct link_list links;
    struct echo echo;
    unsigned up;          /* links */
    unsigned last_number; /* of a link */
    unsigned members;
    struct member *member[LCC_BRIDGES_MAX];
    struct event *due;      /* when a node has something to send */
    struct lcc_clock clock; /* base 0: none is followed */
    bool has_lines;         /* some line of a bridge is another node's */
    bool is_ending;         /* nothing is asked of bridges any more */
    bool is_open;           /* others may come by themselves: the nodes run without a link, too */
};

/* Returns false without memory or a descriptor. `host` must outlive it. */
bool bus_init(struct bus *bus, struct event_base *base, const struct lcc_host *host);
void bus_free(struct bus *bus);

/* All members are there. `is_open`: somebody may connect at any time. */
void bus_start(struct bus *bus, bool is_open);

/* A link is up. `is_new_bus`: it leads to a bus that does not know our nodes, or has not for a
 * while: they start anew. */
void bus_join(struct bus *bus, struct lcc_link *link, bool is_new_bus);

/* All nodes start anew: the bus may have missed what they told. */
void bus_renew(struct bus *bus);

/* A link is down. */
void bus_leave(struct lcc_link *link);

/* A frame came; after the last of those that came at once bus_work(). */
void bus_take(struct lcc_link *link, const struct lcc_frame *frame);

/* Asks what was heard, and sends what is due. */
void bus_work(struct bus *bus);

/* Looks after the nodes in a turn of the event loop: something may be due that was not. */
void bus_ask_for_turn(struct bus *bus);

#endif
