/* plan.h: when to open the bridge, given the trains over it and the boats under it.
 * Pure: no clock, no file. Times in whole seconds of one clock.
 *
 * An opening that begins at `start` is open for boats `opening_s` later. The boats of an opening
 * pass one after another in the order of their arrival, none before it has arrived; when the last
 * is through, the bridge is lined for rail again `closing_s` later, at `lined`.
 *
 * A train wants to be at its home signal at `at`, and has then the bridge for `takes` seconds. It
 * is committed from `approach_s` before `at` on (approach locking: the signal is not put to stop in
 * its face). An opening begins only when every committed train has left the bridge. Trains that are
 * not committed at its start wait at the signal until `lined`, then go in the order of the
 * timetable, on each track one after another. `most_delay_s` bounds what any train loses.
 *
 * The plan is exact. Of all plans that serve every boat and delay no train beyond the bound, it has
 * the least total waiting of boats and, among these, the fewest openings. There always is one:
 * after the last train. So a boat that the trains leave no room for shows by how long it waits. */
#ifndef TOOLS_DRAWTENDER_PLAN_H
#define TOOLS_DRAWTENDER_PLAN_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
    PLAN_TRAINS_MAX = 2000,
    PLAN_BOATS_MAX = 500,
    PLAN_TRACKS_MAX = 8,
    PLAN_TIME_MAX_S = 7 * 24 * 3600, /* for every time and duration; none is negative */
};

struct plan_train {
    int32_t at, takes;
    unsigned track;  /* below PLAN_TRACKS_MAX */
    int32_t goes_at; /* out: at, or later */
};

struct plan_boat {
    int32_t at, takes;
    int32_t passes_at; /* out: at, or later */
    size_t opening;    /* out */
};

struct plan_opening {
    int32_t start; /* may be negative for a boat at the very beginning */
    int32_t open, lined;
    size_t first, boats;
};

/* `train` and `boat`, both in order of `at`, are the caller's. */
struct plan {
    int32_t opening_s, closing_s, approach_s, most_delay_s;
    size_t trains, boats;
    struct plan_train *train;
    struct plan_boat *boat;
    size_t openings; /* out */
    struct plan_opening opening[PLAN_BOATS_MAX];
    int64_t waiting_s;  /* out: of all boats */
    size_t wrong_train; /* out, with an error about a train: which, from 1; else 0 */
};

/* Returns false and fills `error`: out of range, out of order, or two trains on one track at once
 * by the timetable itself. */
bool plan_make(struct plan *plan, struct error *error);

#endif
