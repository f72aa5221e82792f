/* stream.h: a TCP connection that carries frames as text; ours to a hub, or a client's to us. */
#ifndef LCC_STREAM_H
#define LCC_STREAM_H

#include "lcc/bus.h"
#include "protocol/lcc/gridconnect.h"
#include "sockets/bytes.h"

/* Unsent bytes at which a connection is closed: a client that reads so slowly gets nothing that is
 * true.
 */
enum { STREAM_BACKLOG = 64 * 1024 };

struct stream {
    struct lcc_link link; /* first */
    struct bus *bus;
    struct socket_watch socket;
    struct lcc_grid_reader reader;
    struct bytes unsent;
    bool is_lost; /* found while it was being given frames: ends in a turn of its own */
    struct event *end;
    /* It has left the bus, and its socket is closed; may free it. */
    void (*ended)(struct stream *stream, const char *why);
};

/* Takes the socket over, which is connected and must not block, and joins the bus. `name` and
 * `right` are those of the link. Returns false, with the socket closed, without memory. */
bool stream_open(struct stream *stream, struct bus *bus, int fd, const char *name,
                 enum net_right right, bool is_new_bus,
                 void (*ended)(struct stream *stream, const char *why));

/* Leaves the bus and closes; `ended` is not called. */
void stream_close(struct stream *stream);

#endif
