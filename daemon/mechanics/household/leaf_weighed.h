/* leaf_weighed.h: a leaf's mass and centre of gravity from a scale at its toe. Pure: no I/O, no
 * allocation. SI units; axes as in room/point.h.
 *
 * The leaf is free on its axis, drive unpinned. A vertical force R at (toe, 0), the leaf open by t,
 * holds M(t) = R toe cos t with M(t) = g (Sx cos t - Sy sin t) (statics). Level: Sx. Raised: Sy. */
#ifndef MECHANICS_LEAF_WEIGHED_H
#define MECHANICS_LEAF_WEIGHED_H

/* NAN: not measured. */
struct leaf_weighed_given {
    double toe_m;
    double level_n; /* on the scale, the leaf level */
    double raised_n, raised_rad;
    double mass_kg;  /* of the leaf, if it could be weighed whole */
    double axis_n;   /* or on a second scale under its axis, level */
    double middle_m; /* or a guess: where its centre of gravity is, from the axis */
};

struct leaf_weighed {
    double sx_kg_m, sy_kg_m; /* first moments; NAN: not known */
    double mass_kg;          /* NAN: not known */
    double x_m, y_m;
};

/* Returns NULL, or what is wrong in words (static storage). */
const char *leaf_weighed_of(const struct leaf_weighed_given *given, struct leaf_weighed *leaf);

#endif
