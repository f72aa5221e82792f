/* host.h: whom the LCC side asks about bridges: a table that the daemon fills. */
#ifndef LCC_HOST_H
#define LCC_HOST_H

#include "core/data/request.h"
#include "core/data/view.h"
#include "protocol/lcc/clock.h"

#include <stdbool.h>
#include <stdint.h>

/* What another node has said of an event that is a line of a bridge. */
struct lcc_said {
    uint16_t mti;    /* LCC_EVENT_REPORT, or that it produces it: LCC_PRODUCER_VALID and so on */
    uint16_t source; /* alias */
    uint64_t event;
};

/* Bridges by their index in the configuration. */
struct lcc_host {
    void *context;
    const char *version; /* static storage */
    bool must_rest;      /* see sockets/sockets.h */
    const char *(*name)(void *context, unsigned bridge);
    /* Runs one cycle of the bridge with this request in this very call. `who` is a link's number
     * (base/who.h). */
    enum bridge_answer (*ask)(void *context, int32_t who, unsigned bridge,
                              const struct bridge_request *request);
    /* The bridge as it is; valid until the next call into the host. */
    const struct bridge_view *(*view)(void *context, unsigned bridge);
    /* The protocol session whose lock keeps everybody else from asking this; 0: none. */
    int32_t (*barred_by)(void *context, unsigned bridge, const struct bridge_request *request);
    /* Why the bridge's stand keeps everybody else from asking this, in words of static storage;
     * NULL: it does not. NULL: no bridge has a stand. */
    const char *(*kept_by_stand)(void *context, unsigned bridge,
                                 const struct bridge_request *request);
    /* A request came to nothing; `why` in words. */
    void (*refused)(void *context, unsigned bridge, const struct bridge_request *request,
                    const char *why);
    /* A link asks for the first time, or will ask no more. `words`: which, and its right. */
    void (*visitor)(void *context, int32_t who, bool begins, const char *words);
    /* So many links are up now: clients of ours too. May not call back. */
    void (*links)(void *context, unsigned up);
    /* Something was said of a line; after the last of what came at once `lines_came`. Both may be
     * NULL, and are not called where no line of any bridge is another node's. */
    void (*said)(void *context, unsigned bridge, const struct lcc_said *said);
    void (*lines_came)(void *context);
    /* The clock that is followed has told something, and its time is known. */
    void (*clock)(void *context, const struct lcc_clock *clock, uint64_t now_us);
};

#endif
