/* wired.h: the driver "wired": a bridge wired to the terminals of this computer (wired_setup.h). */
#ifndef IO_WIRED_H
#define IO_WIRED_H

#include "core/words/lines.h"
#include "io/port.h"

struct wired_setup;

/* Reads a struct wired_setup; and under WIRED_GPIO, where it is there, a struct gpio_ops to be used
 * instead of the kernel's. */
#define WIRED_GPIO "gpio"
extern const struct port_ops wired_ops;

#endif
