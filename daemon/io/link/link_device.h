/* link_device.h: one device on another server that a link commands: what is wanted of it, what was
 * sent, and whether INFO and GET prove that it obeyed. A command that is not proved in time, a
 * refusal, or a change that nobody here asked for makes the device wrong; only a new proof mends
 * it. Pure: times come in as arguments, in microseconds. */
#ifndef IO_LINK_DEVICE_H
#define IO_LINK_DEVICE_H

#include "io/link/link_points.h"

#include <stdbool.h>
#include <stdint.h>

enum link_device_step {
    LINK_DEVICE_TO_SEND = 0, /* the command has yet to be sent, or sent again */
    LINK_DEVICE_SENT,        /* taken by the server; the proof is awaited */
    LINK_DEVICE_PROVED
};

enum link_trouble { LINK_NO_TROUBLE = 0, LINK_REFUSED, LINK_DISOBEYED, LINK_CHANGED };

struct link_device {
    struct link_value at; /* of what switches it on */
    unsigned off_port;
    unsigned on_point, off_point; /* where it shows */
    bool is_wanted_on;
    enum link_device_step step;
    enum link_trouble trouble;
    uint64_t since_us; /* when it was last wanted otherwise */
    uint64_t sent_us;
};

/* Nothing is proved, off is wanted: a new connection. */
void link_device_restart(struct link_device *device, uint64_t now_us);

void link_device_want(struct link_device *device, bool is_on, uint64_t now_us);

/* "SET 2 GA 21 1 1 -1" for what is wanted now. */
void link_device_set(const struct link_device *device, char line[LINK_LINE_SIZE]);

/* The reply to it; `was_on` is what had been sent. Asks for the values that must prove it. */
void link_device_answered(struct link_device *device, struct link_points *points, bool was_on,
                          bool is_taken, uint64_t now_us);

/* Looks at what the points say: proof, disobedience, changes. */
void link_device_check(struct link_device *device, const struct link_points *points,
                       uint64_t obey_us, uint64_t now_us);

/* Sends again, once `beat_us` have passed without a proof. */
bool link_device_is_due(const struct link_device *device, uint64_t beat_us, uint64_t now_us);

/* Shows what is wanted, is not in doubt, and nothing is under way. */
bool link_device_is_settled(const struct link_device *device);

/* "does not obey". Static storage. */
const char *link_trouble_words(enum link_trouble trouble);

#endif
