/* message.h: the server's own generic messages (GM 0 0 <type> <words>) to INFO sessions: what the
 * protocol has no device for. The types are listed in protocol/README.md. */
#ifndef NET_MESSAGE_H
#define NET_MESSAGE_H

#include "net/registry.h"

struct command;

/* The types that only the server itself sends. */
bool message_is_ours(struct srcp_text type);

/* One message of this type to every INFO session. */
void message_say(struct net_server *server, const char *type, const char *words);

/* What differs between two states, to every INFO session. */
void message_news(struct net_bridge *bridge, const struct bridge_view *before,
                  const struct bridge_view *after);

/* How things stand, to one INFO session: a GUARD for each restrictive row (core/words/guards.h),
 * MOTION, a FAULT if there is one, and PHASE at the end. */
void message_dump(struct session *session, const struct net_bridge *bridge);

/* REFUSED <bus> <group> <address> <session-id> <reason> */
void message_refused(struct net_server *server, unsigned bus, enum srcp_group group,
                     unsigned address, int32_t session, const char *reason);

#endif
