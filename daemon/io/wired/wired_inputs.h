/* wired_inputs.h: contacts, detectors and feedbacks on GPIO lines. An edge is an event of the loop;
 * lines of chips without interrupts are read at their set rate. What cannot be read is unknown
 * (S5), and is tried again; so is a line with more edges than can be listened to (edge_limit.h). */
#ifndef IO_WIRED_INPUTS_H
#define IO_WIRED_INPUTS_H

#include "core/data/inputs.h"
#include "io/kernel/gpio.h"
#include "io/port.h"
#include "io/wired/edge_limit.h"
#include "io/wired/wired_setup.h"

struct event;

enum { WIRED_GROUPS_MAX = 2 * WIRED_INPUTS_MAX };

struct wired_pin_place {
    unsigned group, line;
};

/* Lines of one chip with the same pull: requested, and read, together. */
struct wired_group {
    unsigned chip; /* index in the setup */
    enum wired_pull pull;
    unsigned lines;                  /* of the arrays below, in use */
    unsigned offset[GPIO_LINES_MAX]; /* number on the chip */
    void *handle;
    bool is_known; /* the last reading succeeded */
    bool is_deaf;  /* edges could not be taken: unknown until they are listened for again */
    bool is_newly_deaf;
    bool level[GPIO_LINES_MAX];                             /* high, as last read */
    bool was_low[GPIO_LINES_MAX], was_high[GPIO_LINES_MAX]; /* for a moment, since last sensed */
    uint64_t read_us;                                       /* when last read */
    struct event *edge[GPIO_LINES_MAX];
    struct edge_limit limit[GPIO_LINES_MAX];
};

struct wired_inputs {
    const struct wired_setup *setup;
    const struct gpio_ops *gpio;
    const struct port_host *host;
    unsigned groups;
    struct wired_group group[WIRED_GROUPS_MAX];
    struct wired_pin_place first[WIRED_INPUTS_MAX], second[WIRED_INPUTS_MAX];
    bool differ[WIRED_INPUTS_MAX];
    uint64_t differ_us[WIRED_INPUTS_MAX]; /* since when */
    struct edge_limit all;                /* the edges of all lines */
    bool is_glimpsed; /* the last sense told of a level that has passed: sense again */
    bool was_read;
};

/* Requests every line. On error nothing is left open. What is pointed to outlives this. */
bool wired_inputs_open(struct wired_inputs *inputs, const struct wired_setup *setup,
                       const struct gpio_ops *gpio, const struct port_host *host,
                       struct error *error);

/* Fills in a level for each input of the setup, in its order; reads what is due. A line that was
 * off for a moment only, by its edges, is off in this look. */
void wired_inputs_read(struct wired_inputs *inputs, uint64_t now_us, enum level level[]);

/* The same, each level where the bridge has it. */
void wired_inputs_sense(struct wired_inputs *inputs, uint64_t now_us, struct bridge_inputs *out);

/* Time from `now_us` until the next sense is needed; UINT32_MAX: none is, edges will tell. */
uint32_t wired_inputs_wake_us(const struct wired_inputs *inputs, uint64_t now_us);

/* When the oldest of the readings was taken. */
uint64_t wired_inputs_fresh_us(const struct wired_inputs *inputs, uint64_t now_us);

void wired_inputs_close(struct wired_inputs *inputs);

#endif
