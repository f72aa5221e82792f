#include "net/devices/lines.h"

static enum srcp_group group_of(const struct net_device *device) {
    return device_group(&device->device) == DEVICE_GA ? SRCP_GA : SRCP_FB;
}

static int32_t address_of(const struct net_device *device) {
    return (int32_t)device->device.address;
}

size_t line_device(char *out, const struct net_device *device) {
    const struct net_bridge *bridge = device->bridge;
    char label[DEVICE_LABEL_SIZE];
    device_label(&device->device, bridge->setup, label);
    return srcp_info_device(out, bridge->server->started_us, bridge->setup->bus, group_of(device),
                            address_of(device), srcp_text_of(label));
}

size_t line_port(char *out, const struct net_device *device, unsigned port,
                 const struct bridge_view *view) {
    const struct net_bridge_setup *setup = device->bridge->setup;
    uint64_t since_us = device->since_us[port];
    int value = device_value(&device->device, port, &setup->setup, view);
    if (device_group(&device->device) == DEVICE_GA) {
        return srcp_info_ga(out, since_us, setup->bus, address_of(device), (int32_t)port, value);
    }
    return srcp_info_fb(out, since_us, setup->bus, address_of(device), value);
}

size_t line_power(char *out, const struct net_bridge *bridge, const struct bridge_view *view) {
    bool is_on = devices_power_is_on(&bridge->setup->setup, view);
    return srcp_info_power(out, bridge->power_since_us, bridge->setup->bus, is_on,
                           srcp_text_of(bridge->power_remark));
}

size_t line_lock(char *out, const struct net_device *device) {
    const struct device_lock *lock = &device->lock;
    uint64_t since_us = lock->session != 0 ? lock->since_us : lock->interlocked_since_us;
    return srcp_info_lock(out, since_us, device->bridge->setup->bus, SRCP_GA, address_of(device),
                          lock->duration_s, lock->session);
}

size_t line_time_rate(char *out, const struct net_server *server) {
    const struct model_clock *clock = &server->clock;
    return srcp_info_time_rate(out, server->clock_started_us, (int32_t)clock->fx,
                               (int32_t)clock->fy);
}

size_t line_time(char *out, const struct net_server *server) {
    uint64_t now_us = server_now_us(server);
    struct model_time time = model_clock_read(&server->clock, now_us);
    return srcp_info_time(out, now_us, (int32_t)time.day, (int32_t)time.hour, (int32_t)time.minute,
                          (int32_t)time.second);
}
