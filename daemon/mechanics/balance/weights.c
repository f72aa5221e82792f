#include "mechanics/balance/weights.h"

#include <math.h>

static struct weights by_pockets(const struct sizing_given *given) {
    struct weights weights = {.by = WEIGHTS_NONE};
    struct pockets_aim aim = {.base_sx_kg_m = given->chain.balance.sx_kg_m,
                              .base_sy_kg_m = given->chain.balance.sy_kg_m,
                              .toe_x_m = given->toe_x_m,
                              .toe_reaction_n = (given->toe_least_n + given->toe_most_n) / 2,
                              .angle_rad = given->wanted_angle_rad,
                              .reaction_within_n = (given->toe_most_n - given->toe_least_n) / 2,
                              .angle_within_rad = WEIGHTS_ANGLE_WITHIN_RAD};
    for (unsigned i = 0; i < given->pockets; i++) {
        double now_kg = given->pocket_blocks[i] * given->pocket[i].block_kg;
        aim.base_sx_kg_m -= now_kg * given->pocket[i].at.x_m;
        aim.base_sy_kg_m -= now_kg * given->pocket[i].at.y_m;
    }
    if (pockets_check(given->pocket, given->pockets, &aim) == NULL) {
        weights.by = WEIGHTS_POCKETS;
        weights.pockets = pockets_search(given->pocket, given->pockets, &aim);
    }
    return weights;
}

/* The mass at which the seat carries `seat_n`. */
static double mass_for(const struct sizing_given *given, double seat_n) {
    double lever = -given->counterweight.x_m; /* how much a kilogram takes off, kg.m */
    double over = balance_moment(&given->chain.balance, 0) - seat_n * given->toe_x_m;
    if (given->chain.lift.kind == LIFT_VERTICAL) {
        lever = 1;
        over = balance_moment(&given->chain.balance, 0) - seat_n;
    }
    return given->counterweight_kg + over / (lever * NUMBER_GRAVITY_M_S2);
}

static bool find_counterweight(const struct sizing_given *given, struct weights *weights) {
    bool is_vertical = given->chain.lift.kind == LIFT_VERTICAL;
    if (!given->has_counterweight || !(is_vertical || given->counterweight.x_m < 0) ||
        mass_for(given, given->toe_most_n) < 0) {
        return false;
    }
    weights->counterweight_least_kg = mass_for(given, given->toe_most_n);
    weights->counterweight_most_kg = mass_for(given, given->toe_least_n);
    return true;
}

struct weights weights_of(const struct sizing_given *given) {
    enum lift_kind kind = given->chain.lift.kind;
    bool is_toe_known = kind == LIFT_VERTICAL || number_is_positive(given->toe_x_m);
    bool is_wanted = !isnan(given->toe_least_n) && !isnan(given->toe_most_n);
    if (given->is_hand || kind == LIFT_SWING || !is_toe_known || !is_wanted) {
        return (struct weights){.by = WEIGHTS_NONE};
    }
    struct weights weights = {.by = WEIGHTS_NONE};
    if (given->pockets > 0 && kind != LIFT_VERTICAL) {
        weights = by_pockets(given);
    }
    bool has_reached = weights.by == WEIGHTS_POCKETS && weights.pockets.is_reached;
    if (!has_reached && find_counterweight(given, &weights) && weights.by == WEIGHTS_NONE) {
        weights.by = WEIGHTS_COUNTERWEIGHT;
    }
    return weights;
}
