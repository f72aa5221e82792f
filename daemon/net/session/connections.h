/* connections.h: what the connections of one server share: whose turn it is, and the news, which
 * everyone who only listens is told. The news are kept once, not once a listener, until the slowest
 * has them; sending costs the caller (a bridge's cycle) one copy, however many clients. A turn
 * of the event loop serves a bounded number of connections. Only for connection.c and its owners.
 */
#ifndef NET_CONNECTIONS_H
#define NET_CONNECTIONS_H

#include "sockets/bytes.h"
#include "sockets/sockets.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/queue.h>

struct event_base;

/* One connection as its list knows it; it stands first in struct connection. The functions are the
 * connection's own, set by connection.c. */
struct connection_link {
    TAILQ_ENTRY(connection_link) due;
    TAILQ_ENTRY(connection_link) listening;
    uint64_t news; /* bytes of news that it has, while it listens */
    /* Takes it off the list of those due and does what it has to do; may free it. */
    void (*turn)(struct connection_link *link);
    /* Sends what it can of the news and returns up to where it has them. May break it, and does not
     * free it. */
    uint64_t (*hear_news)(struct connection_link *link);
    /* Ends it without another byte. */
    void (*lose)(struct connection_link *link);
};

TAILQ_HEAD(connection_list, connection_link);

enum { CONNECTIONS_READ_SIZE = 4096 };

struct connections {
    struct event_base *base;
    struct sockets sockets;
    struct connection_list due;            /* connections with work to do in a turn of their own */
    struct connection_list listeners;      /* INFO sessions */
    struct connection_link *next_listener; /* to be brought the news; NULL: all have been */
    bool is_round_due;                     /* there were more news since the round began */
    struct bytes news;
    uint64_t news_from;                /* how many bytes of news there had been before these */
    uint64_t oldest;                   /* of what the listeners seen in this round still lack */
    char input[CONNECTIONS_READ_SIZE]; /* what is being read, from one client at a time */
};

/* false: no memory. All connections must be gone before connections_free(). `must_rest`: see
 * sockets.h. */
bool connections_init(struct connections *all, struct event_base *base, bool must_rest);
void connections_free(struct connections *all);

/* To all that only listen. */
void connections_notify(struct connections *all, const char *bytes, size_t length);

/* For connection.c: how much news there has been. */
uint64_t connections_news(const struct connections *all);

#endif
