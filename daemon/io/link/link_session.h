/* link_session.h: one session with another SRCP server: connection, handshake, lines, in bounded
 * memory. It does not look at the clock: who waits too long for something frees it. */
#ifndef IO_LINK_SESSION_H
#define IO_LINK_SESSION_H

#include "base/error.h"
#include "protocol/client.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct event_base;
struct link_session;

/* Whom a session tells. `said` and `lost` may not free the session; `woke` comes last after any of
 * them, once for all that was read at once, and may. */
struct link_session_host {
    void *context;
    void (*received)(void *context, enum srcp_mode mode, const struct srcp_answer *answer);
    void (*lost)(void *context, enum srcp_mode mode, const char *why); /* static storage */
    void (*woke)(void *context);
};

/* Begins to connect to a numeric address. Returns NULL and fills `error` if it is invalid, or
 * memory is short; all else is told by `lost`. Copies `host`. */
struct link_session *link_session_new(struct event_base *base, const char *address, uint16_t port,
                                      enum srcp_mode mode, const struct link_session_host *host,
                                      struct error *error);
void link_session_free(struct link_session *session);

/* The handshake is over. */
bool link_session_is_open(const struct link_session *session);

/* Given by the server; 0 before the handshake is over. */
int32_t link_session_id(const struct link_session *session);

/* Sends `line` without its end. Only on an open session. */
void link_session_send(struct link_session *session, const char *line);

/* Bytes received since the last call. */
uint32_t link_session_take_count(struct link_session *session);

/* Does what the loop does for these sessions (NULL: none), where no loop runs: waits until one of
 * them can be read or has something to send, `limit_ms` at the longest, 0 not at all; then reads
 * and sends what goes at once. Tells `said` and `lost`, never `woke`. */
void link_session_exchange(struct link_session *const session[], unsigned count, int limit_ms);

/* Async-signal-safe: hands over what the kernel takes at once, past all that waits to be sent. */
void link_session_crash_send(const struct link_session *session, const char *bytes, size_t length);

#endif
