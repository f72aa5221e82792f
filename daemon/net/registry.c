/* What the server's parts share. */
#include "net/registry.h"

uint64_t server_now_us(const struct net_server *server) {
    return server->host.now_us(server->host.context);
}

void server_broadcast(struct net_server *server, const char *line, size_t length) {
    connections_notify(&server->connections, line, length);
}

struct net_bridge *server_bridge_on_bus(struct net_server *server, unsigned bus) {
    for (unsigned b = 0; b < server->setup.bridges; b++) {
        if (server->setup.bridge[b].bus == bus) {
            return &server->bridge[b];
        }
    }
    return NULL;
}

struct net_device *bridge_device(struct net_bridge *bridge, enum device_group group,
                                 int32_t address) {
    for (size_t d = 0; d < bridge->devices; d++) {
        struct net_device *device = &bridge->device[d];
        if (device_group(&device->device) == group && address >= 0 &&
            device->device.address == (unsigned)address) {
            return device;
        }
    }
    return NULL;
}

const struct bridge_view *bridge_now(const struct net_bridge *bridge) {
    const struct net_host *host = &bridge->server->host;
    return host->view(host->context, bridge->index);
}
