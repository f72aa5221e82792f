/* lever.h: where the hand has the throttle, from the device that it is: a potentiometer, steps of
 * an encoder, an axis of a joystick. */
#ifndef STAND_LEVER_H
#define STAND_LEVER_H

#include "io/kernel/iio.h"
#include "stand/keys.h"
#include "stand/setup.h"

struct lever {
    const struct stand_throttle *setup;
    const struct keys *keys;
    const char *bridge; /* for the log */
    struct iio iio;
    bool is_gripped;
    double share;     /* as last read; the encoder's, as counted since it was gripped */
    uint64_t read_us; /* potentiometer */
    bool is_told;     /* that it gives no reading */
};

/* Returns whether it can be read, or is a device that may come later. What is pointed to outlives
 * this. */
bool lever_open(struct lever *lever, const struct stand_throttle *setup, const struct keys *keys,
                const char *bridge, struct error *error);

/* A step of its device, if it is one. */
void lever_take(struct lever *lever, unsigned device, const struct evdev_event *event);

/* Returns -1 full speed down to 1 full speed up; not a number: not gripped, or no reading. A
 * potentiometer is read while it is gripped, and not more often than set. */
double lever_share(struct lever *lever, bool is_gripped, uint64_t now_us);

/* Returns the time until it must be read again; UINT32_MAX: it need not be. */
uint32_t lever_wake_us(const struct lever *lever, uint64_t now_us);

/* A voltage as a share; not a number of one that is not believable. */
double lever_share_of_volts(const struct stand_throttle *setup, double volts);

#endif
