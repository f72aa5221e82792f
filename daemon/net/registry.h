/* registry.h: what the server's parts share: one server, its bridges, their devices. Only for the
 * files in this folder. */
#ifndef NET_REGISTRY_H
#define NET_REGISTRY_H

#include "net/clock/layout_timer.h"
#include "net/clock/model_clock.h"
#include "net/devices/devices.h"
#include "net/host.h"
#include "net/session/connections.h"
#include "net/setup.h"
#include "protocol/reply.h"
#include "protocol/request.h"
#include "sockets/listener.h"

#include <sys/queue.h>

struct wait;
struct session;

enum { POWER_REMARK_SIZE = SRCP_FREE_TEXT_MAX + 1 };

/* LOCK of one device. */
struct device_lock {
    int32_t session; /* 0: no session holds it */
    int32_t duration_s;
    uint64_t since_us;   /* of the session's hold */
    bool is_interlocked; /* the bridge itself holds the device where it is */
    uint64_t interlocked_since_us;
    struct layout_timer expiry;
};

struct net_device {
    struct device device;
    struct net_bridge *bridge;
    uint64_t since_us[DEVICE_PORTS_MAX]; /* when each port came to show what it shows */
    struct device_lock lock;
    unsigned switch_off_port;
    struct layout_timer switch_off; /* after the delay of a SET */
};

struct net_bridge {
    struct net_server *server;
    unsigned index;
    const struct net_bridge_setup *setup;
    size_t devices;
    struct net_device device[DEVICES_MAX];
    uint64_t power_since_us;
    char power_remark[POWER_REMARK_SIZE]; /* the words it was set with */
    bool has_untold_remark;               /* while a SET is asked of the bridge */
    long motion_step;                     /* the whole step of position last told */
    uint64_t motion_told_us;              /* when motion was last told of */
};

/* What those above the sessions do for one: filled by server.c, so that a session names none of
 * them. */
struct session_handler {
    /* Makes what a session needs of them before its first line. Returns false without memory. */
    bool (*made)(struct session *session);
    void (*line)(struct session *session, struct srcp_text line); /* a command, once it runs */
    void (*listens)(struct session *session); /* it begins to be informed: tells how all stands */
    void (*ended)(struct session *session);   /* it runs no more */
    void (*freed)(struct session *session);
};

TAILQ_HEAD(session_list, session);
TAILQ_HEAD(wait_list, wait);

struct net_server {
    struct event_base *base;
    struct net_setup setup;
    struct net_host host;
    const struct session_handler *handler;
    enum srcp_server_state state;
    uint64_t state_since_us;
    uint64_t started_us;

    struct srcp_bus bus[1 + NET_BRIDGES_MAX];
    struct srcp_scope scope;
    struct net_bridge bridge[NET_BRIDGES_MAX];

    struct listener listener[NET_LISTENERS_MAX];
    struct connections connections;
    struct session_list sessions; /* those in their handshake, and those that have ended, too */
    struct session_list ended;    /* of these, the first to end first */
    unsigned clients;             /* sessions */
    unsigned leaving;             /* of these have ended */
    unsigned running;             /* past GO */
    unsigned listening;           /* of those, in INFO mode */
    struct wait_list waiting;
    int32_t last_id;

    struct model_clock clock;
    uint64_t clock_started_us; /* or its ratio changed */
    struct layout_timer minute;
};

uint64_t server_now_us(const struct net_server *server);

/* One line to every INFO session. */
void server_broadcast(struct net_server *server, const char *line, size_t length);

/* NULL: not there. */
struct net_bridge *server_bridge_on_bus(struct net_server *server, unsigned bus);
struct net_device *bridge_device(struct net_bridge *bridge, enum device_group group,
                                 int32_t address);
const struct bridge_view *bridge_now(const struct net_bridge *bridge);

#endif
