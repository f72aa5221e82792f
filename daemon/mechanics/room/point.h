/* point.h: a point of the bridge seen from the side. Origin at the trunnion (the roll centre of a
 * rolling lift), x level toward the toe, y up, metres. Of a swing span seen from above: origin at
 * the pivot, x toward the toe. A point of the leaf is given as it lies with the span seated. */
#ifndef MECHANICS_POINT_H
#define MECHANICS_POINT_H

#include <stdbool.h>

struct point {
    double x_m;
    double y_m;
};

/* Where the point is after the leaf has turned by `angle_rad` (positive lifts the toe). */
struct point point_turned(struct point point, double angle_rad);

double point_radius_m(struct point point);

/* From the x axis toward y, -pi..pi. */
double point_bearing_rad(struct point point);

/* From `from` to `to`. */
struct point point_difference(struct point to, struct point from);

/* a x b: positive where b lies on the left of a. */
double point_cross(struct point a, struct point b);

bool point_is_finite(struct point point);

#endif
