/* What INFO sessions are told of a step: each device that shows another value than before. */
#include "net/devices/device_lock.h"
#include "net/devices/lines.h"
#include "net/devices/message.h"
#include "net/registry.h"
#include "net/server.h"
#include "net/session/wait.h"

#include <string.h>

static void device_news(struct net_device *device, const struct bridge_view *before,
                        const struct bridge_view *after) {
    const struct net_bridge *bridge = device->bridge;
    const struct bridge_setup *setup = &bridge->setup->setup;
    for (unsigned port = 0; port < device_ports(&device->device); port++) {
        if (device_value(&device->device, port, setup, before) !=
            device_value(&device->device, port, setup, after)) {
            device->since_us[port] = server_now_us(bridge->server);
            char line[SRCP_REPLY_SIZE];
            server_broadcast(bridge->server, line, line_port(line, device, port, after));
        }
    }
}

/* Words that came with a SET last until the power changes for another reason. */
static void power_news(struct net_bridge *bridge, const struct bridge_view *before,
                       const struct bridge_view *after) {
    const struct bridge_setup *setup = &bridge->setup->setup;
    if (devices_power_is_on(setup, before) == devices_power_is_on(setup, after)) {
        return;
    }
    if (!bridge->has_untold_remark) {
        bridge->power_remark[0] = '\0';
    }
    bridge->has_untold_remark = false;
    bridge->power_since_us = server_now_us(bridge->server);
    char line[SRCP_REPLY_SIZE];
    server_broadcast(bridge->server, line, line_power(line, bridge, after));
}

void net_server_notify(struct net_server *server, unsigned index, const struct bridge_view *before,
                       const struct bridge_view *after) {
    struct net_bridge *bridge = &server->bridge[index];
    for (size_t i = 0; i < bridge->devices; i++) {
        device_news(&bridge->device[i], before, after);
    }
    power_news(bridge, before, after);
    for (size_t i = 0; i < bridge->devices; i++) {
        device_lock_see(&bridge->device[i], device_is_held(&bridge->device[i].device, after));
    }
    message_news(bridge, before, after);
    wait_see_bridge(server, index, after);
}
