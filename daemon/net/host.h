/* host.h: whom the network side asks about bridges: a table that the daemon fills. */
#ifndef NET_HOST_H
#define NET_HOST_H

#include "base/error.h"
#include "core/data/request.h"
#include "core/data/view.h"

#include <stdbool.h>
#include <stdint.h>

/* Whom the server asks. Bridges by their index in net_setup. */
struct net_host {
    void *context;
    const char *version; /* for the welcome line; static storage */
    /* Layout time in microseconds since the Unix epoch (paced). For time stamps, locks, waits. */
    uint64_t (*now_us)(void *context);
    /* Layout seconds that pass in one real second, to arm real timers for layout times; 1 and up.
     */
    double pace; /* layout seconds in a real second */
    /* The process runs before all others (SCHED_FIFO): see sockets.h. */
    bool must_rest;
    /* Runs one cycle of the bridge with this request in this very call. `session` asks; 0: a delay
     * of the protocol has run out. */
    enum bridge_answer (*ask)(void *context, int32_t session, unsigned bridge,
                              const struct bridge_request *request);
    /* What ask() would answer now; changes nothing (CHECK). Steps a copy of the bridge. */
    enum bridge_answer (*would)(void *context, unsigned bridge,
                                const struct bridge_request *request);
    /* Why the bridge's stand keeps everybody else from asking this, in words of static storage;
     * NULL: it does not. NULL: no bridge has a stand. */
    const char *(*kept_by_stand)(void *context, unsigned bridge,
                                 const struct bridge_request *request);
    /* The bridge as it is; valid until the next call into the host. */
    const struct bridge_view *(*view)(void *context, unsigned bridge);
    /* Run-time command to a simulated bridge. */
    bool (*simulate)(void *context, unsigned bridge, const char *words, struct error *error);
    /* What simulate() would answer now; changes nothing (CHECK). */
    bool (*would_simulate)(void *context, unsigned bridge, const char *words, struct error *error);
    /* A session begins or ends; may be NULL. `words`: its mode, right and listener.
     */
    void (*session)(void *context, int32_t id, bool begins, const char *words);
    /* A lock of this bridge was taken or released; may be NULL. May not call
     * the server. */
    void (*lock_changed)(void *context, unsigned bridge);
    /* The layout's clock was started, set or stopped; may be NULL. */
    void (*clock_changed)(void *context);
    /* TERM 0 SERVER was granted: end the daemon in order, after the replies are out. */
    void (*stop)(void *context);
};

#endif
