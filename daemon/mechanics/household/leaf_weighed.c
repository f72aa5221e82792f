#include "mechanics/household/leaf_weighed.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

/* Less than this, and the raised reading says nothing of the height. */
static const double least_raised_rad = 0.17;

static double mass_kg(const struct leaf_weighed_given *given, double sx_kg_m) {
    if (!isnan(given->mass_kg)) {
        return given->mass_kg;
    }
    if (!isnan(given->axis_n)) {
        return (given->level_n + given->axis_n) / NUMBER_GRAVITY_M_S2;
    }
    return sx_kg_m / given->middle_m; /* NAN where there is no guess */
}

const char *leaf_weighed_of(const struct leaf_weighed_given *given, struct leaf_weighed *leaf) {
    if (!number_is_positive(given->toe_m)) {
        return "the toe's distance must be above zero";
    }
    if (!isfinite(given->level_n)) {
        return "the level reading must be a number";
    }
    if (isnan(given->raised_n) != isnan(given->raised_rad)) {
        return "a raised reading needs its angle, and an angle its reading";
    }
    if (!isnan(given->raised_rad) &&
        !(given->raised_rad >= least_raised_rad && given->raised_rad < NUMBER_PI / 2)) {
        return "the leaf must be raised by 10 to less than 90 degrees";
    }
    leaf->sx_kg_m = given->level_n * given->toe_m / NUMBER_GRAVITY_M_S2;
    leaf->sy_kg_m = (given->level_n - given->raised_n) * given->toe_m /
                    (NUMBER_GRAVITY_M_S2 * tan(given->raised_rad));
    leaf->mass_kg = mass_kg(given, leaf->sx_kg_m);
    leaf->x_m = leaf->sx_kg_m / leaf->mass_kg;
    leaf->y_m = leaf->sy_kg_m / leaf->mass_kg;
    return leaf->mass_kg <= 0 ? "the readings make a mass below zero" : NULL;
}
