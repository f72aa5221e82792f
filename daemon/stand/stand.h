/* stand.h: a bridge's stand: its buttons, switches and hand throttle ask, its lamps tell; it
 * decides nothing about the bridge. What it asks goes the way of every other request. */
#ifndef STAND_STAND_H
#define STAND_STAND_H

#include "base/error.h"
#include "core/data/request.h"
#include "core/data/setup.h"
#include "core/data/view.h"
#include "io/kernel/evdev.h"
#include "io/kernel/gpio.h"
#include "io/kernel/spidev.h"
#include "stand/host.h"
#include "stand/setup.h"

struct event_base;
struct stand;

/* The devices that it is made of. */
struct stand_kernel {
    const struct gpio_ops *gpio;
    const struct evdev_ops *evdev;
    const struct spidev_ops *spi;
};

/* This computer's own. */
extern const struct stand_kernel stand_kernel;

/* Opens its lines and rows, and such input devices as are there; asks nothing yet. `setup` and
 * `core` must outlive it, `host` and `kernel` are copied. Returns NULL and fills `error`. */
struct stand *stand_new(struct event_base *base, unsigned bridge, const struct stand_setup *setup,
                        const struct bridge_setup *core, const struct stand_host *host,
                        const struct stand_kernel *kernel, struct error *error);
/* Puts its lamps out. NULL is taken, here and below: then there is no stand, and nothing happens.
 */
void stand_free(struct stand *stand);

/* Reads all that is due. From the first call on it goes on by itself, and the bridge may be asked.
 */
void stand_look(struct stand *stand);

/* Its bridge's cycle ran: must be called after every step, the steps of stand_host.ask included.
 * Does next to nothing. */
void stand_notify(struct stand *stand, const struct bridge_view *after);

/* Why this stand keeps everybody else from asking this of its bridge, in words; NULL: it does not.
 * Nothing keeps the two stops away (S9). */
const char *stand_refuses(const struct stand *stand, const struct bridge_request *request);

#endif
