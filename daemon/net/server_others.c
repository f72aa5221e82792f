/* What requests that come another way than by the protocol must know of it, and it of them. */
#include "net/clock/fast_clock.h"
#include "net/devices/message.h"
#include "net/registry.h"
#include "net/server.h"

/* The device a protocol client would ask by; NULL: one that has no lock. */
static const struct net_device *device_of(const struct net_bridge *bridge,
                                          const struct bridge_request *request) {
    const struct net_address_map *map = &bridge->setup->address;
    unsigned address = 0;
    switch (request->kind) {
    case REQUEST_NONE:
    case REQUEST_POWER_OFF:
    case REQUEST_POWER_ON:
        break;
    case REQUEST_RAISE:
    case REQUEST_LOWER:
    case REQUEST_STOP:
    case REQUEST_EMERGENCY_STOP:
    case REQUEST_ACKNOWLEDGE:
    case REQUEST_SEEN_CLEAR:
    case REQUEST_JOG_UP:
    case REQUEST_JOG_DOWN:
    case REQUEST_THROTTLE_UP:
    case REQUEST_THROTTLE_DOWN:
    case REQUEST_THROTTLE_HOLD:
        address = map->device[NET_DEVICE_SPAN];
        break;
    case REQUEST_SIGNAL_STOP:
    case REQUEST_SIGNAL_PROCEED:
        address = map->ga_signal[request->track][request->end];
        break;
    case REQUEST_HORN_ON:
    case REQUEST_HORN_OFF:
        address = map->device[NET_DEVICE_HORN];
        break;
    }
    for (size_t d = 0; d < bridge->devices; d++) {
        const struct net_device *device = &bridge->device[d];
        if (address != 0 && device_group(&device->device) == DEVICE_GA &&
            device->device.address == address) {
            return device;
        }
    }
    return NULL;
}

int32_t net_server_barred_by(const struct net_server *server, unsigned bridge,
                             const struct bridge_request *request) {
    if (bridge_request_rests(request)) {
        return 0;
    }
    const struct net_device *device = device_of(&server->bridge[bridge], request);
    return device != NULL ? device->lock.session : 0;
}

void net_server_notify_refused(struct net_server *server, unsigned bridge,
                               const struct bridge_request *request, const char *why) {
    const struct net_device *device = device_of(&server->bridge[bridge], request);
    message_refused(server, server->bridge[bridge].setup->bus,
                    device != NULL ? SRCP_GA : SRCP_POWER,
                    device != NULL ? device->device.address : 0, 0, why);
}

void net_server_follow(struct net_server *server, const struct net_clock *clock) {
    fast_clock_follow(server, clock);
}

bool net_server_minute(const struct net_server *server, unsigned *minute, uint64_t *next_us) {
    if (!server->clock.is_running) {
        return false;
    }
    uint64_t now_us = server_now_us(server);
    struct model_time time = model_clock_read(&server->clock, now_us);
    *minute = time.hour * 60 + time.minute;
    *next_us = model_clock_next_minute(&server->clock, now_us);
    return true;
}

void net_server_say(struct net_server *server, const char *type, const char *words) {
    message_say(server, type, words);
}
