#include "stand/keys.h"

#include "base/log.h"

#include <event2/event.h>
#include <linux/input-event-codes.h>
#include <math.h>
#include <string.h>
#include <unistd.h>

enum {
    EVENTS_AT_ONCE = 64,
    ROUNDS_MAX = 16, /* then others have their turn */
    RETRY_S = 5      /* where nothing can be watched */
};

static const struct stand_device *setup_of(const struct keys_device *device) {
    return &device->keys->setup->device[device->number];
}

/* ---- lost, and back */

static void stop_waiting(struct keys_device *device) {
    if (device->back != NULL) {
        event_free(device->back);
        device->back = NULL;
    }
    if (device->watch_fd >= 0) {
        close(device->watch_fd);
        device->watch_fd = -1;
    }
}

static bool open_device(struct keys_device *device);

static void on_back(evutil_socket_t fd, short what, void *context) {
    struct keys_device *device = context;
    struct keys *keys = device->keys;
    (void)what;
    if (fd >= 0) {
        keys->ops->take_watch(fd, setup_of(device)->device);
    }
    if (open_device(device)) {
        log_line(LOG_NOTICE, "%s: stand: \"%s\" is there", keys->listener.bridge,
                 setup_of(device)->name);
        stop_waiting(device);
        keys->listener.settled(keys->listener.context);
    }
}

/* A sign that it may be back costs nothing while there is none; a timer is for systems without. */
static void wait_for(struct keys_device *device) {
    static const struct timeval retry = {.tv_sec = RETRY_S};
    if (device->back != NULL) {
        return;
    }
    device->watch_fd = device->keys->ops->watch(setup_of(device)->device);
    bool is_watched = device->watch_fd >= 0;
    device->back =
        event_new(device->keys->base, device->watch_fd,
                  (short)(EV_PERSIST | (is_watched ? EV_READ : EV_TIMEOUT)), on_back, device);
    if (device->back == NULL || event_add(device->back, is_watched ? NULL : &retry) != 0) {
        log_line(LOG_ERROR, "%s: stand: \"%s\" is not waited for: no event to be had",
                 device->keys->listener.bridge, setup_of(device)->name);
    }
}

static void close_device(struct keys_device *device) {
    if (device->heard != NULL) {
        event_free(device->heard);
        device->heard = NULL;
    }
    if (device->handle != NULL) {
        device->keys->ops->close(device->handle);
        device->handle = NULL;
    }
}

/* ---- events */

static void lose(struct keys_device *device) {
    struct keys *keys = device->keys;
    close_device(device);
    log_line(LOG_WARNING, "%s: stand: \"%s\" is gone: all of it counts as released",
             keys->listener.bridge, setup_of(device)->name);
    device->is_told = true;
    wait_for(device);
    on_back(-1, 0, device); /* it may have come before it was waited for */
    keys->listener.settled(keys->listener.context);
}

static void on_heard(evutil_socket_t fd, short what, void *context) {
    struct keys_device *device = context;
    struct keys *keys = device->keys;
    struct evdev_event events[EVENTS_AT_ONCE];
    int taken = EVENTS_AT_ONCE;
    (void)fd;
    (void)what;
    for (unsigned round = 0; round < ROUNDS_MAX && taken == EVENTS_AT_ONCE; round++) {
        taken = keys->ops->take(device->handle, events, EVENTS_AT_ONCE);
        for (int i = 0; i < taken; i++) {
            keys->listener.changed(keys->listener.context, device->number, &events[i]);
        }
    }
    if (taken < 0) {
        lose(device);
        return;
    }
    if (taken == EVENTS_AT_ONCE) { /* what waits within the library makes nothing readable */
        event_active(device->heard, EV_READ, 0);
    }
    keys->listener.settled(keys->listener.context);
}

static bool open_device(struct keys_device *device) {
    struct keys *keys = device->keys;
    const struct stand_device *setup = setup_of(device);
    struct error error = {.what = ""};
    if (device->handle == NULL) {
        device->handle = keys->ops->open(setup->device, setup->is_shared, &error);
    }
    if (device->handle != NULL) {
        device->heard = event_new(keys->base, keys->ops->fd(device->handle), EV_READ | EV_PERSIST,
                                  on_heard, device);
        if (device->heard != NULL && event_add(device->heard, NULL) == 0) {
            device->is_told = false;
            return true;
        }
        error_set(&error, setup->device, "no event to be had");
        close_device(device);
    }
    if (!device->is_told) {
        log_line(LOG_WARNING, "%s: stand: \"%s\" is not there: %s", keys->listener.bridge,
                 setup->name, error.what);
        device->is_told = true;
    }
    return false;
}

void keys_open(struct keys *keys, const struct stand_setup *setup, const struct evdev_ops *ops,
               struct event_base *base, const struct keys_listener *listener) {
    *keys = (struct keys){.setup = setup, .ops = ops, .base = base, .listener = *listener};
    for (unsigned i = 0; i < setup->devices; i++) {
        keys->device[i] = (struct keys_device){.keys = keys, .number = i, .watch_fd = -1};
        if (!open_device(&keys->device[i])) {
            wait_for(&keys->device[i]);
        }
    }
}

void keys_close(struct keys *keys) {
    for (unsigned i = 0; keys->setup != NULL && i < keys->setup->devices; i++) {
        stop_waiting(&keys->device[i]);
        close_device(&keys->device[i]);
    }
}

/* ---- as it is */

bool keys_is_there(const struct keys *keys, unsigned device) {
    return keys->device[device].handle != NULL;
}

enum level keys_level(const struct keys *keys, unsigned device, unsigned key) {
    void *handle = keys->device[device].handle;
    if (handle == NULL || !keys->ops->has(handle, EV_KEY, key)) {
        return LEVEL_UNKNOWN;
    }
    return keys->ops->value(handle, EV_KEY, key) != 0 ? LEVEL_ON : LEVEL_OFF;
}

double keys_axis(const struct keys *keys, unsigned device, unsigned axis) {
    void *handle = keys->device[device].handle;
    int least = 0, most = 0;
    if (handle == NULL || !keys->ops->has(handle, EV_ABS, axis)) {
        return NAN;
    }
    keys->ops->range(handle, axis, &least, &most);
    double middle = ((double)least + most) / 2;
    double half = ((double)most - least) / 2;
    return half > 0 ? (keys->ops->value(handle, EV_ABS, axis) - middle) / half : NAN;
}
