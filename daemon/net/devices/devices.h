/* devices.h: a bridge's parts as the protocol's devices: address -> what is read, what is asked.
 * Pure. Adding one: DEVELOPERS.md, "Add a device". */
#ifndef NET_DEVICES_H
#define NET_DEVICES_H

#include "core/data/request.h"
#include "core/data/view.h"
#include "net/setup.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum device_group { DEVICE_GA = 0, DEVICE_FB };

enum {
    DEVICE_PORTS_MAX = 14,
    DEVICES_MAX = NET_ADDRESSES,
    DEVICE_LABEL_SIZE = 2 * NET_NAME_SIZE + 16,
};

struct device;
struct device_kind;

struct device {
    const struct device_kind *kind;
    unsigned address;
    unsigned track, end; /* where the kind has them */
};

/* Lists the devices that have an address, GA before FB, each by rising address. Returns how many.
 */
size_t devices_list(const struct net_bridge_setup *bridge, struct device list[DEVICES_MAX]);

enum device_group device_group(const struct device *device);

/* What the device is, for people and programs: "span", "signal main west". A blank within a name of
 * a track or an end becomes '-', so that a label's words can be told apart. */
void device_label(const struct device *device, const struct net_bridge_setup *bridge,
                  char label[DEVICE_LABEL_SIZE]);

/* GA: ports 0 to one less than this. FB has one. */
unsigned device_ports(const struct device *device);

/* What the port shows, 0 or 1. */
int device_value(const struct device *device, unsigned port, const struct bridge_setup *setup,
                 const struct bridge_view *view);

/* Whether SET is never taken. */
bool device_is_read_only(const struct device *device);

/* The greatest value that SET takes on the port: 1, or where a jog or a throttle says how hard or
 * how fast, thousandths (1 of a jog: as hard as for creep). */
int device_value_most(const struct device *device, unsigned port);

/* Whether value 0 on the port means something, so that a delay can end it. */
bool device_is_switched(const struct device *device);

/* What setting the port asks of the bridge; REQUEST_NONE where the value does nothing. */
struct bridge_request device_request(const struct device *device, unsigned port, int value);

/* Whether the interlock itself holds the device where it is. */
bool device_is_held(const struct device *device, const struct bridge_view *view);

/* Whether the guarded track power is on: every stop and span section is powered. */
bool devices_power_is_on(const struct bridge_setup *setup, const struct bridge_view *view);

#endif
