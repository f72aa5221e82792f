/* gpio.h: the lines of GPIO chips, behind one table of functions, so that tests can stand in for
 * the kernel. gpio_kernel is the character device (libgpiod).
 *
 * After a handle is closed, or this program has died, the level of a line is not promised: it may
 * stay, or fall back to its default. The safe level must come from the wiring: a pull resistor, a
 * relay that is at rest without current. */
#ifndef IO_GPIO_H
#define IO_GPIO_H

#include "base/error.h"
#include "io/wired/wired_setup.h"

#include <stdbool.h>
#include <stdint.h>

enum { GPIO_LINES_MAX = 64 };

struct gpio_edge {
    uint64_t at_us; /* of the kernel's monotonic clock */
    bool level;
};

/* Levels are those of the wire: true is high. Functions that can fail fill an error, that a line is
 * in use by somebody else included. */
struct gpio_ops {
    /* Requests lines of a chip as inputs, to be read together. With `has_edges` each has a file
     * descriptor that becomes readable with an edge. Returns NULL on error. */
    void *(*open_inputs)(const char *device, const unsigned offset[], unsigned lines,
                         enum wired_pull pull, bool has_edges, struct error *error);
    bool (*read)(void *inputs, bool level[], struct error *error);
    int (*edge_fd)(void *inputs, unsigned line);
    /* Takes up to `most` edges that are waiting, without waiting for any; returns how many, or -1.
     */
    int (*take_edges)(void *inputs, unsigned line, struct gpio_edge edge[], int most);
    /* Requests one line as an output that begins with this level. */
    void *(*open_output)(const char *device, unsigned offset, bool level, struct error *error);
    /* Without an error to fill it may be called inside a signal handler. */
    bool (*write)(void *output, bool level, struct error *error);
    void (*close)(void *inputs_or_output);
};

extern const struct gpio_ops gpio_kernel;

#endif
