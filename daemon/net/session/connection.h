/* connection.h: one client's connection: lines in, bytes out, both bounded. Knows no sessions.
 *
 *   open ──close──► flushing ──all sent──► lingering ──the client's end, or 2 s──► gone
 *     └──── error, break, a reader too slow ───────────────────────────────────────► gone
 *
 * Owners may send, hold, close and break from anywhere: nothing is freed, sent or told from within
 * these, but in a turn of the event loop. */
#ifndef NET_CONNECTION_H
#define NET_CONNECTION_H

#include "protocol/line.h"

#include <stddef.h>
#include <stdint.h>

struct connection;
struct connections;

struct connection_owner {
    void *context;
    /* One line of the client; never SRCP_LINE_NONE. */
    void (*line)(void *context, enum srcp_line_kind kind, struct srcp_text line);
    /* The client will send no more and was heard out; or it left while the connection was held.
     * Called once at the most. */
    void (*hung_up)(void *context);
    /* The connection is over: free it. */
    void (*gone)(void *context);
};

/* Takes the socket over, which must not block, and is closed if memory is out (NULL). `owner` is
 * copied. At first the connection is patient: while its client does not read the answers, its lines
 * are left alone. `lines_a_second`: those beyond wait; 0: no limit. */
struct connection *connection_new(struct connections *all, int fd,
                                  const struct connection_owner *owner, unsigned lines_a_second);
void connection_free(struct connection *connection);

/* From now on the client only listens: its input is dropped, it is told the news
 * (connections_notify()), and the connection breaks when more than `backlog_bytes` wait to be sent
 * on top of what waits now. */
void connection_only_send(struct connection *connection, size_t backlog_bytes);

/* Between these two no line is told; what the client sends meanwhile waits, bounded. */
void connection_hold(struct connection *connection);
void connection_go_on(struct connection *connection);

void connection_send(struct connection *connection, const char *bytes, size_t length);

/* Ends when all is sent and the client has had time to read it. It hears no later news. */
void connection_close(struct connection *connection);

/* Why it ended by itself, in words that follow "ended: "; NULL: it did not, or its client left. */
const char *connection_fault(const struct connection *connection);

/* Ends now. */
void connection_break(struct connection *connection);

/* Closes after this time on the wall, unless called again before; 0: no limit. */
void connection_limit(struct connection *connection, uint32_t limit_us);

#endif
