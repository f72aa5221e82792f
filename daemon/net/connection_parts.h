/* connection_parts.h: between connection.c and connections.c only. */
#ifndef NET_CONNECTION_PARTS_H
#define NET_CONNECTION_PARTS_H

#include "net/bytes.h"
#include "net/connection.h"
#include "net/connections.h"
#include "net/rate.h"
#include "net/sockets.h"

#include <stdbool.h>
#include <stdint.h>
#include <sys/queue.h>

enum connection_stage { OPEN = 0, FLUSHING, LINGERING, GONE };

struct connection {
    TAILQ_ENTRY(connection) due;
    TAILQ_ENTRY(connection) listening;
    struct connections *all;
    struct connection_owner owner;
    struct socket_watch socket;
    struct event *limit;
    struct event *pause; /* NULL: it needs none */
    struct srcp_line_reader reader;
    struct bytes ahead; /* read, and not yet told */
    struct bytes unsent;
    uint64_t news; /* heard so far, while it listens */
    size_t backlog_bytes;
    struct rate lines;
    enum connection_stage stage;
    const char *fault; /* see connection_fault() */
    bool is_due;
    bool is_working; /* what it sends now goes out when that is done */
    bool only_sends;
    bool is_listening; /* in the list of those */
    bool is_held;
    bool is_pausing;
    bool is_blocked; /* the kernel takes no more for now */
    bool is_ending;  /* the client has left; what it sent before is to be read yet */
    bool has_more;   /* there may be more to read, and nothing will tell */
    bool is_at_end;  /* nothing more will come from the client */
    bool has_hung_up;
};

/* Takes it off the list of those due, and does what it has to do; it may be freed thereby. */
void connection_turn(struct connection *connection);

/* Sends what it can of the news; returns up to where it has them. It may be broken thereby, but not
 * freed. */
uint64_t connection_hear_news(struct connection *connection);

#endif
