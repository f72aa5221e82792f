#include "mechanics/room/point.h"

#include <math.h>

struct point point_turned(struct point point, double angle_rad) {
    double c = cos(angle_rad), s = sin(angle_rad);
    return (struct point){point.x_m * c - point.y_m * s, point.x_m * s + point.y_m * c};
}

double point_radius_m(struct point point) {
    return hypot(point.x_m, point.y_m);
}

double point_bearing_rad(struct point point) {
    return atan2(point.y_m, point.x_m);
}

struct point point_difference(struct point to, struct point from) {
    return (struct point){to.x_m - from.x_m, to.y_m - from.y_m};
}

double point_cross(struct point a, struct point b) {
    return a.x_m * b.y_m - a.y_m * b.x_m;
}

bool point_is_finite(struct point point) {
    return isfinite(point.x_m) && isfinite(point.y_m);
}
