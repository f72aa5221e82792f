/* wait.h: the WAIT that holds up its session: for a device's value, or for a model time. */
#ifndef NET_WAIT_H
#define NET_WAIT_H

#include "net/clock/layout_timer.h"
#include "net/clock/model_clock.h"

#include <stdbool.h>
#include <stdint.h>
#include <sys/queue.h>

struct bridge_view;
struct net_device;
struct net_server;
struct session;

enum wait_kind { WAIT_NOTHING = 0, WAIT_VALUE, WAIT_TIME };

struct wait {
    TAILQ_ENTRY(wait) link; /* in the list of those that wait */
    struct session *session;
    enum wait_kind kind;
    const struct net_device *device;
    unsigned port;
    int value;
    struct model_time time;
    struct layout_timer timer; /* value: until the time is out; time: until it should be there */
};

/* Makes session->wait. Returns false without memory. */
bool wait_new(struct session *session);
void wait_free(struct session *session);

/* Each answers at once where that can be, else holds the session's lines until it can. */
void wait_for_value(struct wait *wait, const struct net_device *device, unsigned port, int value,
                    int32_t timeout_s);
void wait_for_time(struct wait *wait, const struct model_time *time);

/* A bridge changed; the clock was set, changed or stopped. */
void wait_see_bridge(struct net_server *server, unsigned bridge, const struct bridge_view *view);
void wait_see_clock(struct net_server *server);

#endif
