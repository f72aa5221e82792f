/* evdev.h: the keys and axes of an input device of the kernel, behind one table of functions, so
 * that tests can stand in for it. evdev_kernel is the real one (libevdev). Keyboards and button
 * boxes debounce their contacts themselves. */
#ifndef IO_EVDEV_H
#define IO_EVDEV_H

#include "base/error.h"

#include <stdbool.h>

/* Type, code and value as linux/input-event-codes.h has them: EV_KEY with 1 pressed, 0 released, 2
 * repeated; EV_ABS with where the axis is; EV_REL with how far it went. */
struct evdev_event {
    unsigned type, code;
    int value;
};

struct evdev_ops {
    /* Opens the device of this path, or the one that the kernel calls so. One that is not shared is
     * kept from everybody else: a keyboard's keys then do not go to the console. Returns NULL and
     * fills the error. */
    void *(*open)(const char *device, bool is_shared, struct error *error);
    /* Becomes readable when events wait, and when the device has gone. */
    int (*fd)(void *device);
    /* Takes up to `most` events without waiting for any; returns how many, or -1: it has gone. All
     * that wait must be taken before the descriptor tells of more. Where the kernel had to drop
     * some, the changes that they made are told. */
    int (*take)(void *device, struct evdev_event event[], int most);
    bool (*has)(void *device, unsigned type, unsigned code);
    /* The state of a key, the place of an axis. */
    int (*value)(void *device, unsigned type, unsigned code);
    /* The ends of an absolute axis. */
    void (*range)(void *device, unsigned code, int *least, int *most);
    void (*close)(void *device);
    /* As appear.h: when one that cannot be opened may be tried again. */
    int (*watch)(const char *device);
    void (*take_watch)(int fd, const char *device);
};

extern const struct evdev_ops evdev_kernel;

#endif
