#include "mechanics/lift/lift.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

/* The strut at one position. Sign s = +1 where the pinion lies to the right of the pitch line. */
struct strut_state {
    double length_m;      /* S: pin to contact along the rack */
    struct point contact; /* C */
    struct point along;   /* u: unit vector from the pin along the rack */
    struct point across;  /* n: u turned left */
};

static double strut_side(const struct lift_strut *strut) {
    return strut->is_pinion_left ? -1.0 : 1.0;
}

static struct strut_state strut_at(const struct lift_strut *strut, double position_rad) {
    struct point pin = point_turned(strut->pin, position_rad);
    struct point reach = point_difference(strut->pinion, pin);
    double miss = strut->offset_m - strut_side(strut) * strut->pinion_radius_m;
    double distance = sqrt(reach.x_m * reach.x_m + reach.y_m * reach.y_m);
    struct strut_state state;
    state.length_m = sqrt((distance - miss) * (distance + miss)); /* NAN where it cannot reach */
    /* Its bearing is the reach's less the angle whose tangent is miss / length. */
    double along = state.length_m / (distance * distance), aside = miss / (distance * distance);
    state.along = (struct point){reach.x_m * along + reach.y_m * aside,
                                 reach.y_m * along - reach.x_m * aside};
    state.across = (struct point){-state.along.y_m, state.along.x_m};
    state.contact.x_m =
        pin.x_m + state.length_m * state.along.x_m + strut->offset_m * state.across.x_m;
    state.contact.y_m =
        pin.y_m + state.length_m * state.along.y_m + strut->offset_m * state.across.y_m;
    return state;
}

/* The second term is the reaction of the roller that keeps the rack on the pinion. */
static double strut_arm(const struct lift_strut *strut, double position_rad) {
    struct strut_state state = strut_at(strut, position_rad);
    return point_cross(state.contact, state.along) +
           strut->offset_m / state.length_m * point_cross(state.contact, state.across);
}

/* The second term is the rolling of the rack on the pinion as the strut swings. */
static double strut_travel(const struct lift_strut *strut, double position_rad) {
    struct strut_state seated = strut_at(strut, 0.0);
    struct strut_state state = strut_at(strut, position_rad);
    double swung = point_bearing_rad(state.along) - point_bearing_rad(seated.along);
    swung = remainder(swung, 2 * NUMBER_PI);
    return seated.length_m - state.length_m - strut_side(strut) * strut->pinion_radius_m * swung;
}

struct lift_strut_shape lift_strut_shape(const struct lift_strut *strut) {
    struct lift_strut_shape shape;
    double a = point_radius_m(strut->pin), b = point_radius_m(strut->pinion);
    shape.pin_radius_m = a;
    shape.pinion_radius_m = b;
    shape.included_rad =
        remainder(point_bearing_rad(strut->pinion) - point_bearing_rad(strut->pin), 2 * NUMBER_PI);
    shape.dead_inner_rad = shape.included_rad;
    shape.dead_outer_rad = shape.included_rad - NUMBER_PI;
    shape.shortest_m = fabs(a - b);
    shape.longest_m = a + b;
    shape.greatest_arm_m = fmin(a, b);
    shape.greatest_arm_rad = shape.included_rad - acos(fmin(a, b) / fmax(a, b));
    return shape;
}

struct point lift_rolling_point(const struct lift_rolling *rolling, struct point seated,
                                double position_rad) {
    struct point turned = point_turned(seated, position_rad);
    turned.x_m -= rolling->radius_m * position_rad; /* opening rolls the leaf back */
    return turned;
}

static double rolling_arm(const struct lift_rolling *rolling) {
    switch (rolling->drive) {
    case LIFT_ROLLING_RACK_ON_LEAF:
        return rolling->radius_m;
    case LIFT_ROLLING_RACK_BELOW:
        return rolling->radius_m - rolling->pinion_radius_m;
    case LIFT_ROLLING_RACK_ABOVE:
        return rolling->radius_m + rolling->pinion_radius_m;
    }
    return NAN;
}

double lift_rack_arm(const struct lift *lift, double position) {
    switch (lift->kind) {
    case LIFT_SECTOR:
    case LIFT_SWING:
        return lift->rack_radius_m;
    case LIFT_STRUT:
        return strut_arm(&lift->strut, position);
    case LIFT_ROLLING:
        return rolling_arm(&lift->rolling);
    case LIFT_VERTICAL:
        return (double)lift->parts_of_line;
    }
    return NAN;
}

double lift_rack_travel(const struct lift *lift, double position) {
    if (lift->kind == LIFT_STRUT) {
        return strut_travel(&lift->strut, position);
    }
    return lift_rack_arm(lift, position) * position;
}

static const char *strut_check(const struct lift_strut *strut, double travel) {
    if (!point_is_finite(strut->pin) || !point_is_finite(strut->pinion)) {
        return "the strut's pin and pinion need finite places";
    }
    struct lift_strut_shape shape = lift_strut_shape(strut);
    if (!number_is_positive(shape.pin_radius_m) || !number_is_positive(shape.pinion_radius_m)) {
        return "the strut's pin and pinion must lie away from the trunnion";
    }
    if (!number_is_not_negative(strut->pinion_radius_m) || !isfinite(strut->offset_m)) {
        return "the strut's pinion radius must be a number, not negative, and its offset finite";
    }
    if (shape.included_rad <= 0.0) {
        return "the strut cannot raise: its pinion must lie ahead of the pin in the opening sense";
    }
    if (travel >= shape.dead_inner_rad) {
        return "the strut passes its dead centre within the travel";
    }
    /* The arm rises and falls once between the dead centres: its least is at an end. */
    double least = fmin(strut_arm(strut, 0.0), strut_arm(strut, travel));
    if (isnan(strut_arm(strut, 0.0)) || isnan(strut_arm(strut, travel))) {
        return "the strut's rack cannot meet the pinion over the whole travel";
    }
    if (least < LIFT_STRUT_LEAST_ARM * shape.greatest_arm_m) {
        return "the strut comes too near a dead centre: its arm falls below a quarter of its "
               "greatest";
    }
    return NULL;
}

static const char *rolling_check(const struct lift_rolling *rolling) {
    if (!number_is_positive(rolling->radius_m)) {
        return "the rolling segment's radius must be above zero";
    }
    switch (rolling->drive) {
    case LIFT_ROLLING_RACK_ON_LEAF:
        return NULL;
    case LIFT_ROLLING_RACK_BELOW:
    case LIFT_ROLLING_RACK_ABOVE:
        if (!number_is_positive(rolling->pinion_radius_m)) {
            return "the riding pinion's radius must be above zero";
        }
        if (rolling->pinion_radius_m >= rolling->radius_m) {
            return "the riding pinion must be smaller than the rolling segment";
        }
        return NULL;
    }
    return "no such way to drive a rolling lift";
}

const char *lift_check(const struct lift *lift) {
    if (!number_is_positive(lift->travel)) {
        return "the travel must be above zero";
    }
    if (lift->kind != LIFT_VERTICAL && lift->travel >= NUMBER_PI) {
        return "the travel must be less than half a turn";
    }
    switch (lift->kind) {
    case LIFT_SECTOR:
    case LIFT_SWING:
        return number_is_positive(lift->rack_radius_m) ? NULL
                                                       : "the rack's radius must be above zero";
    case LIFT_STRUT:
        return strut_check(&lift->strut, lift->travel);
    case LIFT_ROLLING:
        return rolling_check(&lift->rolling);
    case LIFT_VERTICAL:
        return lift->parts_of_line >= 1 ? NULL : "the rope needs at least one part of line";
    }
    return "no such kind of lift";
}
