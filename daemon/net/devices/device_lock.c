#include "net/devices/device_lock.h"

#include "net/devices/lines.h"

static const uint64_t second_us = 1000000;

static void expired(void *context) {
    device_lock_release(context);
}

bool device_lock_init(struct net_device *device) {
    struct net_server *server = device->bridge->server;
    return layout_timer_init(&device->lock.expiry, server->base, &server->host, expired, device);
}

void device_lock_free(struct net_device *device) {
    layout_timer_free(&device->lock.expiry);
}

static void say_changed(const struct net_device *device) {
    const struct net_host *host = &device->bridge->server->host;
    if (host->lock_changed != NULL) {
        host->lock_changed(host->context, device->bridge->index);
    }
}

static void tell_hold(struct net_device *device) {
    say_changed(device);
    char line[SRCP_REPLY_SIZE];
    server_broadcast(device->bridge->server, line, line_lock(line, device));
}

static void tell_end(struct net_device *device) {
    say_changed(device);
    struct net_server *server = device->bridge->server;
    char line[SRCP_REPLY_SIZE];
    size_t length = srcp_info_lock_ended(line, server_now_us(server), device->bridge->setup->bus,
                                         SRCP_GA, (int32_t)device->device.address);
    server_broadcast(server, line, length);
}

bool device_lock_is_others(const struct net_device *device, int32_t session) {
    return device->lock.session != 0 && device->lock.session != session;
}

void device_lock_take(struct net_device *device, int32_t session, int32_t duration_s) {
    struct device_lock *lock = &device->lock;
    lock->session = session;
    lock->duration_s = duration_s;
    lock->since_us = server_now_us(device->bridge->server);
    if (duration_s == 0) {
        layout_timer_cancel(&lock->expiry);
    } else {
        layout_timer_set(&lock->expiry, lock->since_us + (uint64_t)duration_s * second_us);
    }
    tell_hold(device);
}

void device_lock_release(struct net_device *device) {
    struct device_lock *lock = &device->lock;
    if (lock->session == 0) {
        return;
    }
    lock->session = 0;
    lock->duration_s = 0;
    layout_timer_cancel(&lock->expiry);
    tell_end(device);
    if (lock->is_interlocked) {
        tell_hold(device);
    }
}

void device_lock_release_all(struct net_server *server, int32_t session) {
    for (unsigned b = 0; b < server->setup.bridges; b++) {
        struct net_bridge *bridge = &server->bridge[b];
        for (size_t d = 0; d < bridge->devices; d++) {
            if (session == 0 || bridge->device[d].lock.session == session) {
                device_lock_release(&bridge->device[d]);
            }
        }
    }
}

void device_lock_see(struct net_device *device, bool is_held) {
    struct device_lock *lock = &device->lock;
    if (lock->is_interlocked == is_held) {
        return;
    }
    lock->is_interlocked = is_held;
    lock->interlocked_since_us = server_now_us(device->bridge->server);
    if (lock->session != 0) {
        return;
    }
    if (is_held) {
        tell_hold(device);
    } else {
        tell_end(device);
    }
}

bool device_lock_is_shown(const struct net_device *device) {
    return device->lock.session != 0 || device->lock.is_interlocked;
}

int32_t device_lock_left_s(const struct net_device *device) {
    const struct device_lock *lock = &device->lock;
    uint64_t now_us = server_now_us(device->bridge->server);
    if (lock->duration_s == 0 || lock->expiry.due_us <= now_us) {
        return 0;
    }
    return (int32_t)((lock->expiry.due_us - now_us + second_us - 1) / second_us);
}
