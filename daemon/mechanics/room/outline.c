#include "mechanics/room/outline.h"

#include "mechanics/number.h"

#include <math.h>

enum { TURNS = 2 };

typedef double measure(const struct outline_room *room, struct point point, double position_rad);

static double height_m(const struct outline_room *room, struct point point, double position_rad) {
    return room->axis_height_m + point_turned(point, position_rad).y_m;
}

static double across_m(const struct outline_room *room, struct point point, double position_rad) {
    return point_turned(point, position_rad).x_m - room->roll_radius_m * position_rad;
}

static void offer(struct outline_extreme *best, double sign, double value_m, double at_rad) {
    if (sign * value_m > sign * best->value_m) {
        *best = (struct outline_extreme){value_m, at_rad};
    }
}

/* The greatest (sign +1) or least (sign -1) of `of` over the travel: at an end, or where the
 * point's bearing passes `turning_rad`. */
static struct outline_extreme extreme(const struct outline_room *room, struct point point,
                                      double travel_rad, measure *of, double sign,
                                      double turning_rad) {
    struct outline_extreme best = {of(room, point, 0.0), 0.0};
    for (int turn = -TURNS; turn <= TURNS; turn++) {
        double at = turning_rad - point_bearing_rad(point) + 2 * NUMBER_PI * turn;
        if (at > 0.0 && at < travel_rad) {
            offer(&best, sign, of(room, point, at), at);
        }
    }
    offer(&best, sign, of(room, point, travel_rad), travel_rad);
    return best;
}

struct outline_extreme outline_highest(const struct outline_room *room, struct point point,
                                       double travel_rad) {
    return extreme(room, point, travel_rad, height_m, 1.0, NUMBER_PI / 2);
}

struct outline_extreme outline_lowest(const struct outline_room *room, struct point point,
                                      double travel_rad) {
    return extreme(room, point, travel_rad, height_m, -1.0, -NUMBER_PI / 2);
}

/* x = r cos(t + f) - R t turns back where r sin(t + f) = -R: at t + f = pi + asin(R/r). Inside the
 * rolling circle it never does, and NAN passes no comparison. */
struct outline_extreme outline_rearmost(const struct outline_room *room, struct point point,
                                        double travel_rad) {
    double turning = NUMBER_PI + asin(room->roll_radius_m / point_radius_m(point));
    return extreme(room, point, travel_rad, across_m, -1.0, turning);
}

static bool is_number_or_none(double value, double none) {
    return isfinite(value) || value == none;
}

const char *outline_check(const struct outline_room *room, const struct point *points, size_t count,
                          double travel_rad) {
    if (!isfinite(room->axis_height_m)) {
        return "the axis needs a finite height";
    }
    if (!number_is_not_negative(room->roll_radius_m)) {
        return "the rolling radius must be finite and not negative";
    }
    if (!is_number_or_none(room->ceiling_m, INFINITY) ||
        !is_number_or_none(room->floor_m, -INFINITY) ||
        !is_number_or_none(room->wall_x_m, -INFINITY)) {
        return "ceiling, floor and wall must be numbers";
    }
    if (!number_is_positive(travel_rad) || travel_rad >= 2 * NUMBER_PI) {
        return "the travel must be above zero and less than a turn";
    }
    if (count == 0) {
        return "an outline needs at least one point";
    }
    for (size_t i = 0; i < count; i++) {
        if (!point_is_finite(points[i])) {
            return "the outline's points need finite places";
        }
    }
    return NULL;
}

static void narrow(double *gap_m, size_t *at, double gap_here_m, size_t here) {
    if (gap_here_m < *gap_m) {
        *gap_m = gap_here_m;
        *at = here;
    }
}

static const struct outline_clearance nothing_near = {
    .above_m = INFINITY, .below_m = INFINITY, .behind_m = INFINITY};

/* The place farthest up, down and back that this point comes to. */
static void take_reach(const struct outline_room *room, struct outline_clearance *least,
                       size_t point, double top_m, double bottom_m, double rear_m) {
    narrow(&least->above_m, &least->above_point, room->ceiling_m - top_m, point);
    narrow(&least->below_m, &least->below_point, bottom_m - room->floor_m, point);
    narrow(&least->behind_m, &least->behind_point, rear_m - room->wall_x_m, point);
}

struct outline_clearance outline_clearance(const struct outline_room *room,
                                           const struct point *points, size_t count,
                                           double travel_rad) {
    struct outline_clearance least = nothing_near;
    for (size_t i = 0; i < count; i++) {
        take_reach(room, &least, i, outline_highest(room, points[i], travel_rad).value_m,
                   outline_lowest(room, points[i], travel_rad).value_m,
                   outline_rearmost(room, points[i], travel_rad).value_m);
    }
    return least;
}

struct outline_clearance outline_lifted_clearance(const struct outline_room *room,
                                                  const struct point *points, size_t count,
                                                  double rise_m) {
    struct outline_clearance least = nothing_near;
    for (size_t i = 0; i < count; i++) {
        double seated = room->axis_height_m + points[i].y_m;
        take_reach(room, &least, i, seated + fmax(rise_m, 0), seated + fmin(rise_m, 0),
                   points[i].x_m);
    }
    return least;
}
