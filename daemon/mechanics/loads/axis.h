/* axis.h: what the axis carries while the span moves: trunnions, track of a rolling lift, sheaves,
 * pivot. Pure: no I/O, no allocation. SI units.
 *
 * Statics: the weight of all that turns and the rack's force are held by the axis. A strut pulls
 * along the line from its pin to the pinion's axis; where a sector's pinion stands is not known, so
 * weight and rack force are added as if they pointed the same way: an upper bound. A rolling lift's
 * rack and a swing span's pinion push across the weight. Sheaves carry span, counterweight and
 * ropes. Bearing pressure is load/(diameter x length), as usual for plain bearings (any handbook).
 */
#ifndef MECHANICS_AXIS_H
#define MECHANICS_AXIS_H

#include "mechanics/lift/chain.h"

/* The span's plain bearings; NAN where not known. */
struct axis_bearings {
    unsigned count;
    double diameter_m;
    double length_m;    /* of one */
    double pressure_pa; /* that it bears */
    double mu;
};

/* Returns the rack's (drum's) force for this movement: > 0 raises on the way up, lowers on the way
 * down, < 0 holds back. */
double axis_rack_n(const struct chain *chain, const struct chain_move *move);

/* Returns what all bearings of the axis together carry. */
double axis_load_n(const struct chain *chain, const struct chain_move *move);

double axis_pressure_pa(const struct axis_bearings *bearings, double load_n);
/* Returns the friction of these bearings under this load, about the axis: mu load d/2. */
double axis_friction_n_m(const struct axis_bearings *bearings, double load_n);

#endif
