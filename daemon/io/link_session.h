/* link_session.h: one session with another SRCP server: connection, handshake, lines, in bounded
 * memory. It does not look at the clock: who waits too long for something frees it. */
#ifndef IO_LINK_SESSION_H
#define IO_LINK_SESSION_H

#include "base/error.h"
#include "protocol/client.h"

#include <stdbool.h>
#include <stdint.h>

struct event_base;
struct link_session;

/* Whom a session tells. `said` and `lost` may not free the session; `woke` comes last after any of
 * them, once for all that was read at once, and may. */
struct link_session_host {
    void *context;
    void (*said)(void *context, enum srcp_mode mode, const struct srcp_answer *answer);
    void (*lost)(void *context, enum srcp_mode mode, const char *why); /* static storage */
    void (*woke)(void *context);
};

/* Begins to connect to a numeric address. Returns NULL and fills `error` if it is none, or memory
 * is short; all else is told by `lost`. Copies `host`. */
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

/* Tries to have everything at the server before the session is freed: hands it to the kernel and
 * waits for `replies` lines, both no longer than `limit_ms` together, whatever the server does; 0
 * hands over what the kernel takes at once. It blocks, and tells nobody. */
void link_session_drain(struct link_session *session, unsigned replies, int limit_ms);

#endif
