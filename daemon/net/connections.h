/* connections.h: what the connections of one server share: whose turn it is, and the news, which
 * everyone who only listens is told. The news are kept once, not once a listener, until the slowest
 * has them; telling them costs one copy, whoever waits for it to be done (a bridge's cycle). A turn
 * of the event loop serves a bounded number of connections. Only for connection.c and its owners.
 */
#ifndef NET_CONNECTIONS_H
#define NET_CONNECTIONS_H

#include "net/bytes.h"
#include "net/sockets.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/queue.h>

struct connection;
struct event_base;

TAILQ_HEAD(connection_list, connection);

enum { CONNECTIONS_READ_SIZE = 4096 };

struct connections {
    struct event_base *base;
    struct sockets sockets;
    struct connection_list due;       /* whoever has something to do in a turn of its own */
    struct connection_list listeners; /* whoever only listens */
    struct connection *next_listener; /* to be brought the news; NULL: all have been */
    bool is_round_due;                /* there were more news since the round began */
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
void connections_tell(struct connections *all, const char *bytes, size_t length);

/* For connection.c: how much news there has been. */
uint64_t connections_told(const struct connections *all);

#endif
