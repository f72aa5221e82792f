/* pending.h: the WAIT that holds up its session: for a device's value, or for a model time. */
#ifndef NET_PENDING_H
#define NET_PENDING_H

#include "net/clock/layout_timer.h"
#include "net/clock/model_clock.h"

#include <stdbool.h>
#include <stdint.h>
#include <sys/queue.h>

struct bridge_view;
struct net_device;
struct net_server;
struct session;

enum pending_kind { PENDING_NOTHING = 0, PENDING_VALUE, PENDING_TIME };

struct pending {
    TAILQ_ENTRY(pending) link; /* in the list of those that wait */
    struct session *session;
    enum pending_kind kind;
    const struct net_device *device;
    unsigned port;
    int value;
    struct model_time time;
    struct layout_timer timer; /* value: until the time is out; time: until it should be there */
};

/* Makes session->pending. Returns false without memory. */
bool pending_new(struct session *session);
void pending_free(struct session *session);

/* Each answers at once where that can be, else holds the session's lines until it can. */
void pending_value(struct pending *pending, const struct net_device *device, unsigned port,
                   int value, int32_t timeout_s);
void pending_time(struct pending *pending, const struct model_time *time);

/* A bridge changed; the clock was set, changed or stopped. */
void pending_see_bridge(struct net_server *server, unsigned bridge, const struct bridge_view *view);
void pending_see_clock(struct net_server *server);

#endif
