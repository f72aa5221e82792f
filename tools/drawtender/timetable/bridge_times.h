/* bridge_times.h: how long a bridge takes to open and to close, and how long before its signal a
 * train is committed. In layout time, each with where it is known from. Pure. */
#ifndef TOOLS_DRAWTENDER_BRIDGE_TIMES_H
#define TOOLS_DRAWTENDER_BRIDGE_TIMES_H

#include "base/error.h"
#include "config/config.h"
#include "records/read/logbook.h"

#include <stdbool.h>
#include <stdint.h>

enum { BRIDGE_TIMES_SOURCE_SIZE = 96, BRIDGE_TIMES_QUANTILE = 90 /* % */ };

struct bridge_time {
    int32_t ms;                            /* -1: not known */
    char source[BRIDGE_TIMES_SOURCE_SIZE]; /* in words */
};

struct bridge_times {
    struct bridge_time opening;  /* from the request to open, no train in the way */
    struct bridge_time closing;  /* from the request to lined for rail */
    struct bridge_time approach; /* before its home signal a train is committed so long */
};

/* None of them known. */
void bridge_times_clear(struct bridge_times *times);

/* Takes each time that `better` knows. */
void bridge_times_prefer(struct bridge_times *times, const struct bridge_times *better);

/* Out of a configuration, as the daemon derives them: the span's run by its own law of speed, the
 * longer of horn and warning time, approach locking at its longest. What nobody can reckon, proofs
 * and the lock bar's travel, counts with the longest time before it would be a fault: the real
 * opening is sooner. Of a span lifted by hand only the approach is known then. Returns false and
 * fills error->what for one that would never arrive. */
bool bridge_times_reckon(struct bridge_times *times, const struct net_bridge_setup *net,
                         const struct config_bridge *bridge, struct error *error);

/* Out of a record: of its openings that went from end to end without a stop or fault, the time that
 * BRIDGE_TIMES_QUANTILE of a hundred did not exceed (nearest rank). The wait for trains to clear is
 * left out; signals count with the shortest that they ever took. Nothing is said of the approach.
 * Returns false and fills error->what where there is no such opening. */
bool bridge_times_measure(struct bridge_times *times, const struct logbook *logbook,
                          struct error *error);

#endif
