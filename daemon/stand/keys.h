/* keys.h: the input devices of a stand: opened, heard, lost when they are unplugged, and opened
 * again when they are back. */
#ifndef STAND_KEYS_H
#define STAND_KEYS_H

#include "core/data/level.h"
#include "io/kernel/evdev.h"
#include "stand/setup.h"

struct event;
struct event_base;

/* Who is told. */
struct keys_listener {
    void *context;
    const char *bridge; /* for the log */
    /* A key or an axis changed, or a key repeats. */
    void (*changed)(void *context, unsigned device, const struct evdev_event *event);
    /* All that waited has been told; or the device was lost, or found. */
    void (*settled)(void *context);
};

struct keys_device {
    struct keys *keys;
    unsigned number;
    void *handle; /* NULL: not there */
    struct event *heard;
    int watch_fd; /* while it is not there; -1: it is, or nothing can be watched */
    struct event *back;
    bool is_told; /* that it is not there */
};

struct keys {
    const struct stand_setup *setup;
    const struct evdev_ops *ops;
    struct event_base *base;
    struct keys_listener listener;
    struct keys_device device[STAND_DEVICES_MAX];
};

/* Opens what is there; what is not is told as a warning and waited for. What is pointed to outlives
 * this. */
void keys_open(struct keys *keys, const struct stand_setup *setup, const struct evdev_ops *ops,
               struct event_base *base, const struct keys_listener *listener);
void keys_close(struct keys *keys);

/* ON while the key is down; UNKNOWN of a device that is not there, or has no such key. */
enum level keys_level(const struct keys *keys, unsigned device, unsigned key);

/* Where an absolute axis is, -1 to 1; not a number of one that is not there. */
double keys_axis(const struct keys *keys, unsigned device, unsigned axis);

bool keys_is_there(const struct keys *keys, unsigned device);

#endif
