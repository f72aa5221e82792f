#include "mechanics/balance/balance_fit.h"

#include "mechanics/number.h"

#include <math.h>

struct balance_fit_pair balance_fit_halves(double raising_n_m, double lowering_n_m) {
    return (struct balance_fit_pair){(raising_n_m + lowering_n_m) / 2,
                                     (raising_n_m - lowering_n_m) / 2};
}

struct balance_fit_pair balance_fit_spring_scale(double up_n, double down_n, double toe_x_m) {
    return balance_fit_halves(up_n * toe_x_m, down_n * toe_x_m);
}

double balance_fit_added_moment_n_m(double mass_kg, struct point at, double position_rad) {
    return mass_kg * NUMBER_GRAVITY_M_S2 * point_turned(at, position_rad).x_m;
}
