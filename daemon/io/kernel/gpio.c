#include "io/kernel/gpio.h"

#include <errno.h>
#include <gpiod.h>
#include <stdlib.h>
#include <string.h>

static const char consumer[] = "drawtender";

struct lines {
    struct gpiod_chip *chip;
    struct gpiod_line_bulk bulk;
};

static bool complain(const char *device, int number, struct error *error) {
    return error_set(error, device, "%s",
                     number == EBUSY ? "in use by another program" : strerror(number));
}

static void gpio_close(void *port) {
    struct lines *lines = port;
    if (lines->chip != NULL) {
        gpiod_chip_close(lines->chip); /* its lines are let go with it */
    }
    free(lines);
}

static struct lines *find_lines(const char *device, const unsigned offset[], unsigned count,
                                struct error *error) {
    struct lines *lines = calloc(1, sizeof *lines);
    if (lines == NULL) {
        complain(device, ENOMEM, error);
        return NULL;
    }
    unsigned at[GPIO_LINES_MAX];
    memcpy(at, offset, count * sizeof at[0]);
    lines->chip = gpiod_chip_open_lookup(device);
    if (lines->chip == NULL || gpiod_chip_get_lines(lines->chip, at, count, &lines->bulk) != 0) {
        complain(device, errno, error);
        gpio_close(lines);
        return NULL;
    }
    return lines;
}

static int flags_of(enum wired_pull pull) {
    switch (pull) {
    case WIRED_PULL_AS_IS:
        return 0;
    case WIRED_PULL_UP:
        return GPIOD_LINE_REQUEST_FLAG_BIAS_PULL_UP;
    case WIRED_PULL_DOWN:
        return GPIOD_LINE_REQUEST_FLAG_BIAS_PULL_DOWN;
    case WIRED_PULL_NONE:
        return GPIOD_LINE_REQUEST_FLAG_BIAS_DISABLE;
    }
    return 0;
}

static void *open_inputs(const char *device, const unsigned offset[], unsigned count,
                         enum wired_pull pull, bool has_edges, struct error *error) {
    struct lines *lines = find_lines(device, offset, count, error);
    if (lines == NULL) {
        return NULL;
    }
    int flags = flags_of(pull);
    int result =
        has_edges ? gpiod_line_request_bulk_both_edges_events_flags(&lines->bulk, consumer, flags)
                  : gpiod_line_request_bulk_input_flags(&lines->bulk, consumer, flags);
    if (result != 0) {
        complain(device, errno, error);
        gpio_close(lines);
        return NULL;
    }
    return lines;
}

static bool read_levels(void *port, bool level[], struct error *error) {
    struct lines *lines = port;
    int values[GPIO_LINES_MAX];
    for (unsigned i = 0; i < lines->bulk.num_lines; i++) {
        values[i] = 0;
    }
    /* Lines with edges are requests of their own each, and are read one by one. */
    if (gpiod_line_event_get_fd(lines->bulk.lines[0]) >= 0) {
        for (unsigned i = 0; i < lines->bulk.num_lines; i++) {
            values[i] = gpiod_line_get_value(lines->bulk.lines[i]);
            if (values[i] < 0) {
                return complain(gpiod_chip_name(lines->chip), errno, error);
            }
        }
    } else if (gpiod_line_get_value_bulk(&lines->bulk, values) != 0) {
        return complain(gpiod_chip_name(lines->chip), errno, error);
    }
    for (unsigned i = 0; i < lines->bulk.num_lines; i++) {
        level[i] = values[i] != 0;
    }
    return true;
}

static int edge_fd(void *port, unsigned line) {
    struct lines *lines = port;
    return gpiod_line_event_get_fd(lines->bulk.lines[line]);
}

static int take_edges(void *port, unsigned line, struct gpio_edge edge[], int most) {
    struct gpiod_line_event events[16];
    struct lines *lines = port;
    const struct timespec at_once = {0, 0};
    int wanted = most < 16 ? most : 16;
    int waiting = gpiod_line_event_wait(lines->bulk.lines[line], &at_once);
    if (waiting <= 0) {
        return waiting;
    }
    int taken = gpiod_line_event_read_multiple(lines->bulk.lines[line], events, (unsigned)wanted);
    for (int i = 0; i < taken; i++) {
        edge[i] = (struct gpio_edge){
            .at_us =
                (uint64_t)events[i].ts.tv_sec * 1000000 + (uint64_t)events[i].ts.tv_nsec / 1000,
            .level = events[i].event_type == GPIOD_LINE_EVENT_RISING_EDGE,
        };
    }
    return taken;
}

static void *open_output(const char *device, unsigned offset, bool level, struct error *error) {
    struct lines *lines = find_lines(device, &offset, 1, error);
    if (lines == NULL) {
        return NULL;
    }
    if (gpiod_line_request_output(lines->bulk.lines[0], consumer, level) != 0) {
        complain(device, errno, error);
        gpio_close(lines);
        return NULL;
    }
    return lines;
}

/* Of a requested line this is one ioctl(2) in libgpiod 1: no memory, no lock. */
static bool write_level(void *port, bool level, struct error *error) {
    struct lines *lines = port;
    if (gpiod_line_set_value(lines->bulk.lines[0], level) == 0) {
        return true;
    }
    return error != NULL && complain(gpiod_chip_name(lines->chip), errno, error);
}

const struct gpio_ops gpio_kernel = {
    .open_inputs = open_inputs,
    .read = read_levels,
    .edge_fd = edge_fd,
    .take_edges = take_edges,
    .open_output = open_output,
    .write = write_level,
    .close = gpio_close,
};
