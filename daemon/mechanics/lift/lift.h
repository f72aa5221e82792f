/* lift.h: the geometry of what moves the span: how far the rack (or rope) runs for each position.
 * Pure: no clock, no I/O, no allocation.
 *
 * Position: the opening angle in radians, 0 seated; of a vertical lift the height in metres.
 * Rack travel: what the teeth of the last pinion count (of a vertical lift: what the drum winds),
 * metres, 0 seated, growing as the span opens. The arm is d(rack travel)/d(position), m/rad (m/m):
 * moment on the span = rack force x arm. Formulas: kinematics of rolling pitch lines, derived for
 * this project and checked by a second way each (tests/mechanics/examples, G1 to G7); that a
 * rolling lift is balanced when its centre of gravity is the roll centre: derived as well. */
#ifndef MECHANICS_LIFT_H
#define MECHANICS_LIFT_H

#include "mechanics/room/point.h"

enum lift_kind { LIFT_SECTOR, LIFT_STRUT, LIFT_ROLLING, LIFT_VERTICAL, LIFT_SWING };

/* Heel trunnion with operating strut: a straight rack pinned to the leaf, driven by a pinion that
 * turns in a fixed place on the tower. Pulls: the pinion lies ahead of the pin in the opening
 * sense. */
struct lift_strut {
    struct point pin;    /* on the leaf, seated */
    struct point pinion; /* its axis, fixed */
    /* Pitch radius. 0 takes the rack as a string from pin to pinion axis (the simple formula). */
    double pinion_radius_m;
    /* Of the rack's pitch line from the pin, positive to the left looking from pin to pinion. */
    double offset_m;
    /* The pinion's axis lies to the left of the pitch line; otherwise to its right. */
    _Bool is_pinion_left;
};

enum lift_rolling_drive {
    LIFT_ROLLING_RACK_ON_LEAF, /* the rack holds the roll centre, the pinion stands fixed */
    LIFT_ROLLING_RACK_BELOW,   /* the pinion rides at the roll centre, on a fixed rack below it */
    LIFT_ROLLING_RACK_ABOVE    /* the same with the fixed rack above the pinion */
};

struct lift_rolling {
    double radius_m; /* of the segment that rolls */
    enum lift_rolling_drive drive;
    double pinion_radius_m; /* of a pinion that rides on the leaf */
};

struct lift {
    enum lift_kind kind;
    double travel;               /* from seated to open: rad; m for vertical */
    double rack_radius_m;        /* LIFT_SECTOR, LIFT_SWING: pitch radius of the toothed arc */
    struct lift_strut strut;     /* LIFT_STRUT */
    struct lift_rolling rolling; /* LIFT_ROLLING */
    unsigned parts_of_line;      /* LIFT_VERTICAL: rope wound for a unit of height */
};

/* Least arm of a strut within the travel, as a part of its greatest. Nearer the dead centre the
 * rack force grows without bound. A judgement, no source. */
#define LIFT_STRUT_LEAST_ARM 0.25

/* NULL, or what is wrong in words (static storage). All other functions expect a lift that passed.
 */
const char *lift_check(const struct lift *lift);

/* Defined beyond the travel too (overtravel happens); NAN where the strut cannot reach. */
double lift_rack_arm(const struct lift *lift, double position);
double lift_rack_travel(const struct lift *lift, double position);

/* What the triangle trunnion, pin, pinion axis says of a strut (of the simple formula: law of
 * cosines). */
struct lift_strut_shape {
    double pin_radius_m;    /* a, trunnion to pin */
    double pinion_radius_m; /* b, trunnion to pinion axis */
    double included_rad;    /* psi, between both, seated; psi shrinks by the opening angle */
    double dead_inner_rad;  /* positions where the arm is nothing: psi = 0 ... */
    double dead_outer_rad;  /* ... and psi = pi */
    double shortest_m;      /* pin to pinion axis there */
    double longest_m;
    double greatest_arm_m;   /* min(a, b) ... */
    double greatest_arm_rad; /* ... at this position, line square to the shorter radius */
};
struct lift_strut_shape lift_strut_shape(const struct lift_strut *strut);

/* Where the roll centre of a rolling lift is, and a point of the leaf, at `position_rad`: from the
 * place of the roll centre when seated, y as in point.h. */
struct point lift_rolling_point(const struct lift_rolling *rolling, struct point seated,
                                double position_rad);

#endif
