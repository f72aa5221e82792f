/* swing.h: how a swing span stands on its pivot while it turns, and what its ends carry once it is
 * seated and wedged. Pure: no I/O, no allocation. SI units; points seen from above (point.h).
 *
 * Gravity does not turn a swing span but tips it, by its weight times the distance of its centre of
 * gravity from the pivot: that is wanted on the axis (Dock Engineering, p. 408). The pivot's
 * bearing carries it within its radius; beyond, it leans on balance wheels, which carry it within
 * their polygon: n wheels on a circle of radius r, r cos(pi/n). Seated, it is a rigid beam on pivot
 * and two ends; the lighter end carries what its wedges lift it with, the heavier one the rest of
 * the moment about the pivot (statics). */
#ifndef MECHANICS_SWING_H
#define MECHANICS_SWING_H

#include "mechanics/balance/balance.h"

struct swing_stand {
    double bearing_m; /* radius of the pivot's bearing */
    double wheels_m;  /* radius of the circle of the balance wheels; 0: none */
    unsigned wheels;  /* 3 or more, evenly round it; counts where wheels_m > 0 */
    double toe_m;     /* from the pivot to where each end rests, > 0; NAN: not known */
    double heel_m;
    double wedge_n; /* the lighter end is lifted with */
};

struct swing {
    double offset_m; /* of the centre of gravity from the pivot */
    double tipping_n_m;
    double held_m;        /* the offset at which it tips over */
    double wheel_n;       /* most on one balance wheel; NAN: there is none */
    double toe_n, heel_n; /* seated and wedged; NAN: not known */
    double pivot_n;       /* then; NAN: not known */
};

/* NULL, or what is wrong in words (static storage). */
const char *swing_check(const struct swing_stand *stand);

/* Expects a balance of a swing span, and a stand that passed. */
struct swing swing_of(const struct balance *balance, const struct swing_stand *stand);

#endif
