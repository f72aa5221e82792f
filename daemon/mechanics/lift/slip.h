/* slip.h: whether the segment of a rolling lift slips on its track. Pure: no I/O, no allocation.
 *
 * Rolling slowly, the track's friction takes the rack's whole push (forces along the track
 * balance), and the track carries the weight of all that rolls: friction needed = |F|/W (statics; F
 * from the moment about the roll centre, lift.h). */
#ifndef MECHANICS_SLIP_H
#define MECHANICS_SLIP_H

#include "mechanics/lift/chain.h"

struct slip {
    double push_n; /* greatest push along the track */
    double at;
    double needed; /* coefficient of friction for it */
};

/* Greatest over the travel, both ways, from rest. Of a rolling lift. */
struct slip slip_of(const struct chain *chain);

#endif
