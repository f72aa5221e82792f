/* context.h: what every part of the panel may use: the loop, the configuration, whom it asks, and
 * what time it is. It knows none of those parts. */
#ifndef PANEL_CONTEXT_H
#define PANEL_CONTEXT_H

#include "config/config.h"
#include "panel/host.h"

#include <stdint.h>

struct event_base;

struct panel_context {
    struct event_base *base;
    const struct config *config;
    struct panel_host host;
};

/* Returns layout time in milliseconds since the Unix epoch. */
uint64_t context_now_ms(const struct panel_context *context);

/* Returns microseconds of the machine's clock that never stands still, asleep or not. */
uint64_t context_clock_us(void);

/* Returns the index of the bridge on this bus, or -1. */
int context_bridge_on_bus(const struct panel_context *context, double bus);

#endif
