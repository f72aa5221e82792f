#include "mechanics/loads/axis.h"

#include "mechanics/number.h"

#include <math.h>

double axis_rack_n(const struct chain *chain, const struct chain_move *move) {
    double friction =
        move->friction == CHAIN_FROM_REST ? chain->friction_static : chain->friction_running;
    double inertial = balance_inertia(&chain->balance, move->position) * move->acceleration;
    return drive_rack_force_n(move->way * balance_moment(&chain->balance, move->position), friction,
                              inertial, lift_rack_arm(&chain->lift, move->position));
}

static double strut_load_n(const struct chain *chain, const struct chain_move *move,
                           double weight_n) {
    const struct lift_strut *strut = &chain->lift.strut;
    struct point line = point_difference(strut->pinion, point_turned(strut->pin, move->position));
    double share = move->way * axis_rack_n(chain, move) / point_radius_m(line);
    return hypot(share * line.x_m, share * line.y_m - weight_n);
}

double axis_load_n(const struct chain *chain, const struct chain_move *move) {
    double weight_n = chain->balance.mass_kg * NUMBER_GRAVITY_M_S2;
    double rack_n = axis_rack_n(chain, move);
    switch (chain->lift.kind) {
    case LIFT_SECTOR:
        return weight_n + fabs(rack_n);
    case LIFT_STRUT:
        return strut_load_n(chain, move, weight_n);
    case LIFT_ROLLING:
    case LIFT_SWING:
        return hypot(weight_n, rack_n);
    case LIFT_VERTICAL:
        return weight_n;
    }
    return NAN;
}

double axis_pressure_pa(const struct axis_bearings *bearings, double load_n) {
    return load_n / (bearings->count * bearings->diameter_m * bearings->length_m);
}

double axis_friction_n_m(const struct axis_bearings *bearings, double load_n) {
    return bearings->mu * load_n * bearings->diameter_m / 2;
}
