/* host.h: whom the panel asks about a bridge and for it: a table of functions that main.c fills. */
#ifndef PANEL_HOST_H
#define PANEL_HOST_H

#include "core/data/request.h"
#include "core/data/view.h"

#include <stdbool.h>
#include <stdint.h>

/* Whom the panel asks. Bridges by their index in the configuration. */
struct panel_host {
    void *context;
    const char *version; /* static storage */
    double pace;         /* layout seconds in a real second */
    /* Layout time in microseconds since the Unix epoch (paced). */
    uint64_t (*now_us)(void *context);
    /* Runs one cycle of the bridge with this request in this very call. `who` is a visitor of the
     * panel's, below 0. */
    enum bridge_answer (*ask)(void *context, int32_t who, unsigned bridge,
                              const struct bridge_request *request);
    /* What ask() would answer now; changes nothing. */
    enum bridge_answer (*would)(void *context, unsigned bridge,
                                const struct bridge_request *request);
    /* The bridge as it is; valid until the next call into the host. */
    const struct bridge_view *(*view)(void *context, unsigned bridge);
    /* The protocol session whose lock keeps everybody else from asking this; 0: none. */
    int32_t (*barred_by)(void *context, unsigned bridge, const struct bridge_request *request);
    /* Why the bridge's stand keeps everybody else from asking this, in words of static storage;
     * NULL: it does not. NULL: no bridge has a stand. */
    const char *(*kept_by_stand)(void *context, unsigned bridge,
                                 const struct bridge_request *request);
    /* A visitor's request came to nothing; `why` in words. */
    void (*refused)(void *context, unsigned bridge, const struct bridge_request *request,
                    const char *why);
    /* A visitor asks for the first time, or will ask no more. `words`: from where, and its right.
     */
    void (*visitor)(void *context, int32_t who, bool begins, const char *words);
    /* How many links to LCC are up; NULL: there is none. */
    unsigned (*lcc_links)(void *context);
};

#endif
