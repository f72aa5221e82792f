/* outline.h: what room the span needs as it opens: the ceiling above the toe, the floor or pier and
 * the wall behind the counterweight. Pure: no I/O, no allocation. Metres, radians.
 *
 * Points as in point.h. A point at radius r and bearing f is at height r sin(t + f): highest at
 * t = pi/2 - f if the travel passes it, else at an end; likewise lowest, and farthest back (derived
 * here, checked against fine steps). Between points the outline is straight, so its corners are
 * enough. A rolling lift moves back by R t as it turns. */
#ifndef MECHANICS_OUTLINE_H
#define MECHANICS_OUTLINE_H

#include "mechanics/room/point.h"

#include <stddef.h>

struct outline_room {
    double axis_height_m; /* of the trunnion or the roll centre; heights from any one level */
    double roll_radius_m; /* 0: does not roll */
    double ceiling_m;     /* height; INFINITY: none */
    double floor_m;       /* height, also of the pier or the water; -INFINITY: none */
    double wall_x_m;      /* behind the axis, so < 0; -INFINITY: none */
};

struct outline_extreme {
    double value_m;
    double at_rad; /* the first position that reaches it */
};

/* Over positions 0 to `travel_rad`, as heights and as x from the axis's seated place. */
struct outline_extreme outline_highest(const struct outline_room *room, struct point point,
                                       double travel_rad);
struct outline_extreme outline_lowest(const struct outline_room *room, struct point point,
                                      double travel_rad);
struct outline_extreme outline_rearmost(const struct outline_room *room, struct point point,
                                        double travel_rad);

/* Least gaps over the travel and over all points; negative: it hits. INFINITY where there is no
 * such bound. */
struct outline_clearance {
    double above_m;
    double below_m;
    double behind_m;
    size_t above_point; /* which point it is */
    size_t below_point;
    size_t behind_point;
};

/* NULL, or what is wrong in words (static storage): no points, values that are not numbers. */
const char *outline_check(const struct outline_room *room, const struct point *points, size_t count,
                          double travel_rad);
/* Expects what outline_check passed. */
struct outline_clearance outline_clearance(const struct outline_room *room,
                                           const struct point *points, size_t count,
                                           double travel_rad);

/* The same of a body that rises by `rise_m` without turning (< 0: it comes down). */
struct outline_clearance outline_lifted_clearance(const struct outline_room *room,
                                                  const struct point *points, size_t count,
                                                  double rise_m);

#endif
