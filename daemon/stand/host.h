/* host.h: whom a stand asks about its bridge and for it: a table of functions that main.c fills. */
#ifndef STAND_HOST_H
#define STAND_HOST_H

#include "core/data/request.h"
#include "core/data/view.h"

#include <stdbool.h>
#include <stdint.h>

/* Bridges by their index in the configuration. */
struct stand_host {
    void *context;
    bool is_dry; /* read all, light nothing */
    double pace; /* layout seconds in a real second */
    /* Real time in microseconds, monotonic: of hands and lamps, whatever the pace. */
    uint64_t (*now_us)(void *context);
    const char *(*name)(void *context, unsigned bridge);
    /* Runs one cycle of the bridge with this request in this very call; `who` is WHO_STAND. */
    enum bridge_answer (*ask)(void *context, int32_t who, unsigned bridge,
                              const struct bridge_request *request);
    /* The bridge as it is; valid until the next call into the host. */
    const struct bridge_view *(*view)(void *context, unsigned bridge);
    /* The protocol session whose lock keeps everybody else from asking this; 0: none. */
    int32_t (*barred_by)(void *context, unsigned bridge, const struct bridge_request *request);
    /* A request came to nothing; `why` in words. */
    void (*refused)(void *context, unsigned bridge, const struct bridge_request *request,
                    const char *why);
    /* What stand_refuses() answers may have changed. */
    void (*bars_changed)(void *context, unsigned bridge);
    /* An event that goes before the network's runs: as loop_bridge_turn(). */
    void (*turn)(void *context);
};

#endif
