/* server.h: the SRCP server: listeners, sessions, and bridges as protocol devices.
 * It asks and tells; it decides nothing about a bridge. */
#ifndef NET_SERVER_H
#define NET_SERVER_H

#include "base/error.h"
#include "net/host.h"
#include "net/setup.h"

#include <stdbool.h>
#include <stdint.h>

struct event_base;
struct net_server;

/* Opens all listeners, or none. `setup` and `host` are copied. Returns NULL and fills `error`. */
struct net_server *net_server_new(struct event_base *base, const struct net_setup *setup,
                                  const struct net_host *host, struct error *error);
void net_server_free(struct net_server *server);

/* The port that listener `i` really has (for setups that asked for port 0); 0: a Unix socket. */
uint16_t net_server_port(const struct net_server *server, unsigned listener);

/* How many descriptors the server may have open with this setup. */
unsigned net_server_descriptors(const struct net_setup *setup);

/* A bridge's cycle ran: notifies waiting clients and INFO sessions of what changed. Must be called
 * after every step, the steps of net_host.ask included; called from within ask() too, before it
 * returns. */
void net_server_notify(struct net_server *server, unsigned bridge, const struct bridge_view *before,
                       const struct bridge_view *after);

/* The session whose lock keeps all others from asking this of a bridge; 0: nobody bars it. A stop
 * and an emergency stop are never barred (S9). */
int32_t net_server_barred_by(const struct net_server *server, unsigned bridge,
                             const struct bridge_request *request);

/* Tells INFO sessions of a request that did not come by the protocol, and why it was refused. */
void net_server_notify_refused(struct net_server *server, unsigned bridge,
                               const struct bridge_request *request, const char *why);

/* The layout's clock is so now; only where the setup says that TIME follows it. */
void net_server_follow(struct net_server *server, const struct net_clock *clock);

/* The minute of the layout's day, 0 to 1439, and the layout time at which the next one begins.
 * Returns false if no clock runs. */
bool net_server_minute(const struct net_server *server, unsigned *minute, uint64_t *next_us);

/* Tells INFO sessions what is neither a request nor a change of a bridge, as a generic message:
 * net_server_say(server, "TRAIN", "1 freight from west stops: dead stop section"). */
void net_server_say(struct net_server *server, const char *type, const char *words);

#endif
