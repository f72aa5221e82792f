#include "io/link/link_device.h"

#include <stdio.h>

void link_device_restart(struct link_device *device, uint64_t now_us) {
    device->is_wanted_on = false;
    device->step = LINK_DEVICE_TO_SEND;
    device->trouble = LINK_NO_TROUBLE;
    device->since_us = now_us;
}

void link_device_want(struct link_device *device, bool is_on, uint64_t now_us) {
    if (device->is_wanted_on != is_on) {
        device->is_wanted_on = is_on;
        device->step = LINK_DEVICE_TO_SEND;
        device->since_us = now_us;
    }
}

void link_device_set(const struct link_device *device, char line[LINK_LINE_SIZE]) {
    const struct link_value *at = &device->at;
    bool has_two_ports = device->off_port != at->port;
    bool is_on = device->is_wanted_on;
    if (at->group == LINK_POWER) {
        snprintf(line, LINK_LINE_SIZE, "SET %u POWER %s", at->bus, is_on ? "ON" : "OFF");
    } else {
        snprintf(line, LINK_LINE_SIZE, "SET %u GA %u %u %d -1", at->bus, at->address,
                 is_on ? at->port : device->off_port, is_on || has_two_ports);
    }
}

void link_device_answered(struct link_device *device, struct link_points *points, bool was_on,
                          bool is_taken, uint64_t now_us) {
    device->sent_us = now_us;
    if (was_on != device->is_wanted_on) {
        return; /* it is to be sent anew already */
    }
    if (!is_taken) {
        device->trouble = LINK_REFUSED;
    } else if (device->trouble == LINK_REFUSED) {
        device->trouble = LINK_DISOBEYED; /* until it is proved */
    }
    device->step = LINK_DEVICE_SENT;
    points->point[device->on_point].must_ask = true;
    points->point[device->off_point].must_ask = true;
}

static bool shows(const struct link_point *point, bool is_on) {
    return point->is_told && point->told == is_on && !point->is_doubted && !point->must_ask;
}

/* Of two ports exactly one must be on, and the right one. */
static bool shows_wanted(const struct link_device *device, const struct link_points *points) {
    bool is_on = device->is_wanted_on;
    return shows(&points->point[device->on_point], is_on) &&
           (device->off_point == device->on_point ||
            shows(&points->point[device->off_point], !is_on));
}

static bool tells_otherwise(const struct link_point *point, bool is_on) {
    return !point->is_told || point->told != is_on;
}

static bool has_changed(const struct link_device *device, const struct link_points *points) {
    bool is_on = device->is_wanted_on;
    return tells_otherwise(&points->point[device->on_point], is_on) ||
           (device->off_point != device->on_point &&
            tells_otherwise(&points->point[device->off_point], !is_on));
}

/* A device that fell off by itself is not switched on again behind somebody's back: being wrong it
 * brings the bridge to its safe state, and that wants it off. */
void link_device_check(struct link_device *device, const struct link_points *points,
                       uint64_t obey_us, uint64_t now_us) {
    switch (device->step) {
    case LINK_DEVICE_TO_SEND:
    case LINK_DEVICE_SENT:
        if (device->step == LINK_DEVICE_SENT && device->trouble != LINK_REFUSED &&
            shows_wanted(device, points)) {
            device->step = LINK_DEVICE_PROVED;
            device->trouble = LINK_NO_TROUBLE;
        } else if (device->trouble == LINK_NO_TROUBLE && now_us - device->since_us > obey_us) {
            device->trouble = LINK_DISOBEYED;
        }
        break;
    case LINK_DEVICE_PROVED:
        if (has_changed(device, points)) {
            device->trouble = LINK_CHANGED;
            device->step = device->is_wanted_on ? LINK_DEVICE_SENT : LINK_DEVICE_TO_SEND;
            device->since_us = now_us;
        }
        break;
    }
}

bool link_device_is_due(const struct link_device *device, uint64_t beat_us, uint64_t now_us) {
    bool is_stuck = device->is_wanted_on && device->trouble != LINK_NO_TROUBLE;
    return device->step == LINK_DEVICE_SENT && !is_stuck && now_us - device->sent_us >= beat_us;
}

bool link_device_is_settled(const struct link_device *device) {
    return device->step == LINK_DEVICE_PROVED && device->trouble == LINK_NO_TROUBLE;
}

const char *link_trouble_words(enum link_trouble trouble) {
    switch (trouble) {
    case LINK_REFUSED:
        return "was refused";
    case LINK_DISOBEYED:
        return "does not obey";
    case LINK_CHANGED:
        return "changed without a command from here";
    case LINK_NO_TROUBLE:
        break;
    }
    return "is in order";
}
