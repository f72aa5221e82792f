/* lamps.h: the lamps of a stand, lit as looks.h says: at GPIO lines, and in rows at SPI devices. A
 * timer runs only while a lamp flashes, or could not be written. */
#ifndef STAND_LAMPS_H
#define STAND_LAMPS_H

#include "io/kernel/spidev.h"
#include "io/wired/pin_out.h"
#include "stand/host.h"
#include "stand/looks.h"
#include "stand/row.h"

struct event;
struct event_base;

struct lamps_row {
    void *handle; /* NULL: dry */
    bool is_known;
    size_t count;
    unsigned char bytes[ROW_BYTES_MAX]; /* as last written */
};

struct lamps {
    const struct stand_setup *setup;
    const struct bridge_setup *core;
    const struct spidev_ops *spi;
    const struct stand_host *host;
    const char *bridge; /* for the log */
    struct event *due;
    enum look look[STAND_LAMPS_MAX];
    bool is_test;   /* all are lit */
    bool is_failed; /* the last writing, and that has been told */
    unsigned outs;  /* opened */
    struct pin_out out[STAND_LAMPS_MAX];
    struct lamps_row row[STAND_ROWS_MAX];
};

/* What they are driven through. */
struct lamps_kernel {
    const struct gpio_ops *gpio;
    const struct spidev_ops *spi;
};

/* Requests every line and row, all dark. On error nothing is left open. What is pointed to outlives
 * this. */
bool lamps_open(struct lamps *lamps, const struct stand_setup *setup,
                const struct bridge_setup *core, const struct stand_host *host, const char *bridge,
                struct event_base *base, const struct lamps_kernel *kernel, struct error *error);
/* Puts all out. */
void lamps_close(struct lamps *lamps);

/* Looks how each lamp is to be; writes it later, in a turn of the loop. Does next to nothing. */
void lamps_see(struct lamps *lamps, const struct bridge_view *view, const struct looks_desk *desk);

void lamps_test(struct lamps *lamps, bool is_test);

#endif
