#include "mechanics/lift/rope.h"

#include "mechanics/number.h"

#include <math.h>

double rope_tension_n(const struct balance_ropes *ropes) {
    double rope_m = ropes->counterweight_side_m + ropes->span_side_m;
    return NUMBER_GRAVITY_M_S2 *
           (ropes->counterweight_kg / ropes->ropes + ropes->rope_kg_m * rope_m);
}

double rope_stretch_m(const struct rope *rope, const struct balance_ropes *ropes) {
    double area_m2 = NUMBER_PI * rope->diameter_m * rope->diameter_m / 4;
    double length_m = ropes->counterweight_side_m + ropes->span_side_m;
    double own_n = NUMBER_GRAVITY_M_S2 * ropes->rope_kg_m * length_m;
    return (rope_tension_n(ropes) - own_n / 2) * length_m / (rope->modulus_pa * area_m2);
}
