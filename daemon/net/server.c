#include "net/server.h"

#include "net/clock/fast_clock.h"
#include "net/commands/command.h"
#include "net/devices/device_lock.h"
#include "net/session/dump.h"
#include "net/session/session.h"
#include "net/session/wait.h"

#include <stdlib.h>

static unsigned set_of(const enum srcp_group *groups, size_t count) {
    unsigned set = 0;
    for (size_t i = 0; i < count; i++) {
        set |= 1u << groups[i];
    }
    return set;
}

static void list_buses(struct net_server *server) {
    static const enum srcp_group of_server[] = {SRCP_DESCRIPTION, SRCP_SERVER, SRCP_SESSION,
                                                SRCP_TIME, SRCP_GM};
    static const enum srcp_group of_bridge[] = {SRCP_DESCRIPTION, SRCP_GA, SRCP_FB, SRCP_POWER,
                                                SRCP_LOCK};
    server->bus[0] = (struct srcp_bus){
        .bus = 0, .groups = set_of(of_server, sizeof of_server / sizeof of_server[0])};
    for (unsigned b = 0; b < server->setup.bridges; b++) {
        server->bus[1 + b] =
            (struct srcp_bus){.bus = server->setup.bridge[b].bus,
                              .groups = set_of(of_bridge, sizeof of_bridge / sizeof of_bridge[0]),
                              .lockable = 1u << SRCP_GA};
    }
    server->scope = (struct srcp_scope){.bus = server->bus, .buses = 1 + server->setup.bridges};
}

static void switch_off(void *context) {
    struct net_device *device = context;
    const struct net_host *host = &device->bridge->server->host;
    const struct bridge_request request =
        device_request(&device->device, device->switch_off_port, 0);
    host->ask(host->context, 0, device->bridge->index, &request);
}

static bool init_device(struct net_device *device, struct net_bridge *bridge,
                        const struct device *listed) {
    struct net_server *server = bridge->server;
    device->device = *listed;
    device->bridge = bridge;
    for (unsigned port = 0; port < DEVICE_PORTS_MAX; port++) {
        device->since_us[port] = server->started_us;
    }
    bool is_made =
        layout_timer_init(&device->switch_off, server->base, &server->host, switch_off, device) &&
        device_lock_init(device);
    device_lock_see(device, device_is_held(listed, bridge_now(bridge)));
    return is_made;
}

static bool init_bridge(struct net_server *server, unsigned index) {
    struct net_bridge *bridge = &server->bridge[index];
    *bridge = (struct net_bridge){.server = server,
                                  .index = index,
                                  .setup = &server->setup.bridge[index],
                                  .power_since_us = server->started_us};
    struct device list[DEVICES_MAX];
    bridge->devices = devices_list(bridge->setup, list);
    bool is_made = true;
    for (size_t d = 0; d < bridge->devices; d++) {
        is_made = init_device(&bridge->device[d], bridge, &list[d]) && is_made;
    }
    return is_made;
}

static bool init_bridges(struct net_server *server) {
    bool is_made = true;
    for (unsigned b = 0; b < server->setup.bridges; b++) {
        is_made = init_bridge(server, b) && is_made;
    }
    return is_made;
}

/* The minute is counted only while somebody is told of it. */
static void session_listens(struct session *session) {
    dump_send(session);
    fast_clock_arm(session->server);
}

static void session_ended(struct session *session) {
    device_lock_release_all(session->server, session->id);
    fast_clock_arm(session->server);
}

static const struct session_handler session_handler = {
    .made = wait_new,
    .line = command_run,
    .listens = session_listens,
    .ended = session_ended,
    .freed = wait_free,
};

static void client_came(void *context, struct listener *listener, int fd,
                        const unsigned char address[16]) {
    session_begin(context, fd, listener, address);
}

static bool open_listeners(struct net_server *server, struct error *error) {
    for (unsigned i = 0; i < server->setup.listeners; i++) {
        if (!listener_open(&server->listener[i], server->base, &server->connections.sockets,
                           &server->setup.listener[i], client_came, server, error)) {
            return false;
        }
    }
    return true;
}

struct net_server *net_server_new(struct event_base *base, const struct net_setup *setup,
                                  const struct net_host *host, struct error *error) {
    struct net_server *server = calloc(1, sizeof *server);
    if (server == NULL) {
        error_set(error, "network", "out of memory");
        return NULL;
    }
    server->base = base;
    server->setup = *setup;
    server->host = *host;
    server->handler = &session_handler;
    server->started_us = server->state_since_us = server_now_us(server);
    TAILQ_INIT(&server->sessions);
    TAILQ_INIT(&server->ended);
    TAILQ_INIT(&server->waiting);
    list_buses(server);
    if (!connections_init(&server->connections, base, host->must_rest) || !init_bridges(server) ||
        !fast_clock_init(server)) {
        error_set(error, "network", "out of memory");
        net_server_free(server);
        return NULL;
    }
    if (!open_listeners(server, error)) {
        net_server_free(server);
        return NULL;
    }
    return server;
}

static void close_listeners(struct net_server *server) {
    for (unsigned i = 0; i < server->setup.listeners; i++) {
        listener_close(&server->listener[i]);
    }
}

void net_server_free(struct net_server *server) {
    if (server == NULL) {
        return;
    }
    while (!TAILQ_EMPTY(&server->sessions)) {
        session_free(TAILQ_FIRST(&server->sessions));
    }
    close_listeners(server);
    for (unsigned b = 0; b < server->setup.bridges; b++) {
        struct net_bridge *bridge = &server->bridge[b];
        for (size_t d = 0; d < bridge->devices; d++) {
            layout_timer_free(&bridge->device[d].switch_off);
            device_lock_free(&bridge->device[d]);
        }
    }
    fast_clock_free(server);
    connections_free(&server->connections);
    free(server);
}

uint16_t net_server_port(const struct net_server *server, unsigned listener) {
    return listener_port(&server->listener[listener]);
}

unsigned net_server_descriptors(const struct net_setup *setup) {
    return 1 + setup->listeners + setup->sessions_max + 2 * SESSION_SPARE_CLIENTS;
}
