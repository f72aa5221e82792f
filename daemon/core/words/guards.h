/* guards.h: what guards each condition that the invariants rest on: an input that proves it, a
 * time, a person's word, or nothing. Derived from the setup alone, told to people and never used to
 * decide. Pure. S7 has no row: the driver and the wiring keep it, and the setup knows neither. */
#ifndef CORE_GUARDS_H
#define CORE_GUARDS_H

#include "core/data/setup.h"

#include <stdbool.h>
#include <stdint.h>

enum guard {
    GUARD_PROVED = 0, /* an input proves it */
    GUARD_BY_TIME,    /* it is taken to be so after a time */
    GUARD_BY_WORD,    /* a person says so, or sees to it */
    GUARD_MISSING,    /* nothing guards it: the setup must not be run */
    GUARD_SORTS
};

/* What a row is about. Those of an end come first, then those of a track, then the bridge's own. */
enum guard_thing {
    GUARD_SIGNAL = 0,  /* S3, S4: home signal at stop */
    GUARD_APPROACH,    /* S3, S4, S6: a train that was let on comes to a stand, or is through */
    GUARD_STOP_DEAD,   /* S2 to S4 */
    GUARD_STOP_TRAINS, /* S1, S3, S4, S8: trains on a stop section with a detector */
    GUARD_STOP_LEFT,   /* S3, S4: without one: a train there has left */
    GUARD_STOP_FREE,   /* S1: nor is there one when a signal shows proceed */
    GUARD_STOP_COMES,  /* S8: nor does one come while the span is away */
    GUARD_SPAN_DEAD,   /* the same of the span section */
    GUARD_SPAN_TRAINS,
    GUARD_SPAN_LEFT,
    GUARD_SPAN_FREE,
    GUARD_SPAN_COMES,
    GUARD_SEATED,      /* S1, S2, S4 */
    GUARD_LOCKED,      /* S1, S2 */
    GUARD_RAILS,       /* S1, S2 */
    GUARD_WITHDRAWN,   /* S3 */
    GUARD_HAND_LOCK,   /* S4: a person withdraws the bar under a powered lift */
    GUARD_HAND_LIFT,   /* S3, S4: a person withdraws the bar and lifts the span */
    GUARD_SEAT_STICKS, /* S5: the seated contact sticks made */
    GUARD_OPEN,        /* S5: the opening ends */
    GUARD_OPEN_FAILS,  /* S5: though what ends it fails */
    GUARD_BLOCKED,     /* S5: the lift is driven, and does not move */
    GUARD_PLACE,       /* S6: where the span is after a start */
    GUARD_STOP,        /* S9: a stop that acts when the network does not */
    GUARD_THINGS
};

/* Words are of static storage; "" where there is nothing to say. */
struct guard_row {
    enum guard_thing thing;
    enum guard how;
    unsigned invariants; /* bit n: Sn (DEVELOPERS.md) */
    unsigned track, end; /* where the thing is; 0 where it has no such place */
    uint32_t time_us;    /* by time: after how long */
    const char *rests_on;
    const char *unseen; /* what that does not see */
    const char *add;    /* what to fit or to say to be better, or at all */
};

enum { GUARD_ROWS_MAX = 80 };

struct guards {
    unsigned rows;
    struct guard_row row[GUARD_ROWS_MAX];
};

/* Any setup with counts within range, sound or not. */
void guards_of(const struct bridge_setup *setup, struct guards *guards);

/* Worth a person's attention: nothing or nobody but a person guards it, or something could be
 * fitted that would be better. */
bool guard_is_restrictive(const struct guard_row *row);

/* Whether it is a thing of an end, or of a track; else it is one of the bridge as a whole. */
bool guard_is_of_end(enum guard_thing thing);
bool guard_is_of_track(enum guard_thing thing);

#endif
