/* travel.h: how the span runs from end to end under the daemon's own law of speed, and how long it
 * takes. Pure: no I/O, no allocation.
 *
 * The law (core/motion.h): from rest up to full speed, slower in time to creep through the zone at
 * the far end, v^2 = c^2 + 2 b d, and rest at its end. Parts of the travel, parts a second. The
 * motor follows it evenly, and the span with it as the lever arm lets it: at the law's speed where
 * the arm is least, slower elsewhere. */
#ifndef MECHANICS_TRAVEL_H
#define MECHANICS_TRAVEL_H

#include "mechanics/lift/lift.h"

struct travel_law { /* speeds and accelerations above zero; zones within 0..1 */
    double full_frac_s;
    double creep_frac_s;
    double acceleration_frac_s2;
    double deceleration_frac_s2;
    double zone_seat_frac;
    double zone_open_frac;
};

struct travel_moment {
    double time_s;
    double position_frac;
    double speed_frac_s; /* of the span, > 0 either way */
};

enum { TRAVEL_MOMENTS = 121 };

struct travel {
    double duration_s; /* INFINITY: the numbers are too far apart for it ever to arrive;
                          its moments are nought */
    double creep_s;    /* of it, in the zone at the far end */
    double peak_frac_s;
    struct travel_moment moment[TRAVEL_MOMENTS]; /* evenly spaced from start to end */
};

/* `lift` NULL: an even arm. `way` 1 raises, -1 lowers. */
void travel_run(const struct travel_law *law, const struct lift *lift, int way,
                struct travel *travel);

/* The same, but its moments are left at nought. */
void travel_time(const struct travel_law *law, const struct lift *lift, int way,
                 struct travel *travel);

#endif
