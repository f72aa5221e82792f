/* server.h: the SRCP server: listeners, sessions, and bridges as protocol devices.
 * It asks and tells; it decides nothing about a bridge. */
#ifndef NET_SERVER_H
#define NET_SERVER_H

#include "base/error.h"
#include "core/request.h"
#include "core/view.h"
#include "net/setup.h"

#include <stdbool.h>
#include <stdint.h>

struct event_base;
struct net_server;

/* Whom the server asks. Bridges by their index in net_setup. */
struct net_host {
    void *context;
    const char *version; /* for the welcome line; static storage */
    /* Layout time in microseconds since the Unix epoch (paced). For time stamps, locks, waits. */
    uint64_t (*now_us)(void *context);
    /* Layout seconds that pass in one real second, to arm real timers for layout times; 1 and up.
     */
    double pace;
    /* The process runs before all others (SCHED_FIFO): see sockets.h. */
    bool must_rest;
    /* Runs one cycle of the bridge with this request in this very call. `session` asks; 0: a delay
     * of the protocol has run out. */
    enum bridge_answer (*ask)(void *context, int32_t session, unsigned bridge,
                              const struct bridge_request *request);
    /* What ask() would answer now; changes nothing (CHECK). Steps a copy of the bridge. */
    enum bridge_answer (*would)(void *context, unsigned bridge,
                                const struct bridge_request *request);
    /* The bridge as it is; valid until the next call into the host. */
    const struct bridge_view *(*view)(void *context, unsigned bridge);
    /* Run-time command to a simulated bridge. */
    bool (*simulate)(void *context, unsigned bridge, const char *words, struct error *error);
    /* What simulate() would answer now; changes nothing (CHECK). */
    bool (*would_simulate)(void *context, unsigned bridge, const char *words, struct error *error);
    /* A session begins or ends; NULL: nobody wants to know. `words`: its mode, right and listener.
     */
    void (*session)(void *context, int32_t id, bool begins, const char *words);
    /* Somebody took a lock of this bridge, or let it go; NULL: nobody wants to know. May not call
     * the server. */
    void (*lock_changed)(void *context, unsigned bridge);
    /* TERM 0 SERVER was granted: end the daemon in order, after the replies are out. */
    void (*stop)(void *context);
};

/* Opens all listeners, or none. `setup` and `host` are copied. Returns NULL and fills `error`. */
struct net_server *net_server_new(struct event_base *base, const struct net_setup *setup,
                                  const struct net_host *host, struct error *error);
void net_server_free(struct net_server *server);

/* The port that listener `i` really has (for setups that asked for port 0); 0: a Unix socket. */
uint16_t net_server_port(const struct net_server *server, unsigned listener);

/* How many descriptors the server may have open with this setup. */
unsigned net_server_descriptors(const struct net_setup *setup);

/* A bridge's cycle ran: tells whoever waits or listens what changed. Must be called after every
 * step, the steps of net_host.ask included; called from within ask() too, before it returns. */
void net_server_tell(struct net_server *server, unsigned bridge, const struct bridge_view *before,
                     const struct bridge_view *after);

/* The session whose lock keeps all others from asking this of a bridge; 0: nobody bars it. A stop
 * and an emergency stop are never barred (S9). */
int32_t net_server_barred_by(const struct net_server *server, unsigned bridge,
                             const struct bridge_request *request);

/* Tells INFO sessions of a request that did not come by the protocol, and why it was refused. */
void net_server_tell_refused(struct net_server *server, unsigned bridge,
                             const struct bridge_request *request, const char *why);

/* Tells INFO sessions what is neither a request nor a change of a bridge, as a generic message:
 * net_server_say(server, "TRAIN", "1 freight from west stops: dead stop section"). */
void net_server_say(struct net_server *server, const char *type, const char *words);

#endif
