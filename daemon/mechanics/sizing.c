#include "mechanics/sizing.h"

#include <math.h>

struct point sizing_moved(const struct sizing_given *given, struct point seated, double position) {
    const struct lift *lift = &given->chain.lift;
    if (lift->kind == LIFT_VERTICAL) {
        return (struct point){seated.x_m, seated.y_m + position};
    }
    if (lift->kind == LIFT_ROLLING) {
        return lift_rolling_point(&lift->rolling, seated, position);
    }
    return point_turned(seated, position);
}

struct point sizing_weight_moved(struct point seated, double position) {
    return (struct point){seated.x_m, seated.y_m - position};
}

static void reach_to(const struct sizing_given *given, struct point at,
                     struct sizing_point *point) {
    double height_m = given->room.axis_height_m + at.y_m;
    point->highest_m = fmax(point->highest_m, height_m); /* fmax() takes the number, not NAN */
    point->lowest_m = fmin(point->lowest_m, height_m);
    point->rearmost_m = fmin(point->rearmost_m, at.x_m);
}

static void reach(const struct sizing_given *given, struct sizing_point *point) {
    point->highest_m = point->lowest_m = point->rearmost_m = NAN;
    if (given->chain.lift.kind == LIFT_SWING || !given->has_room) {
        return;
    }
    for (unsigned i = 0; i < given->outline_points; i++) {
        reach_to(given, sizing_moved(given, given->outline[i], point->position), point);
    }
    for (unsigned i = 0; i < given->weight_points; i++) {
        reach_to(given, sizing_weight_moved(given->weight_outline[i], point->position), point);
    }
}

static struct sizing_effort effort(const struct sizing_given *given, double position, int way) {
    const struct chain *chain = &given->chain;
    const struct chain_move move = {position, way, CHAIN_MOST, 0};
    double full_speed = given->law.full_frac_s * chain->lift.travel;
    return (struct sizing_effort){
        .torque_n_m = chain_torque_n_m(chain, &move),
        .current_a = chain_current_a(chain, &move),
        .voltage_v = chain_voltage_v(chain, &move, chain_motor_rad_s(chain, full_speed))};
}

struct sizing_point sizing_at(const struct sizing_given *given, double position) {
    const struct chain *chain = &given->chain;
    struct sizing_point point = {.position = position,
                                 .rack_travel_m = lift_rack_travel(&chain->lift, position),
                                 .arm = lift_rack_arm(&chain->lift, position),
                                 .moment = balance_moment(&chain->balance, position),
                                 .up = effort(given, position, CHAIN_UP),
                                 .down = effort(given, position, CHAIN_DOWN)};
    reach(given, &point);
    return point;
}

static double arm_share(const struct chain *chain, double *position) {
    double greatest = 0;
    for (int i = 0; i <= CHAIN_STEPS; i++) {
        greatest =
            fmax(greatest, lift_rack_arm(&chain->lift, chain->lift.travel * i / CHAIN_STEPS));
    }
    return chain_least_arm(chain, position) / greatest;
}

static double seat_n(const struct sizing_given *given) {
    switch (given->chain.lift.kind) {
    case LIFT_SECTOR:
    case LIFT_STRUT:
    case LIFT_ROLLING:
        return balance_toe_reaction_n(&given->chain.balance, given->toe_x_m);
    case LIFT_VERTICAL:
        return balance_moment(&given->chain.balance, 0);
    case LIFT_SWING:
        return swing_of(&given->chain.balance, &given->stand).toe_n;
    }
    return NAN;
}

static struct sizing without_chain(const struct sizing_given *given) {
    return (struct sizing){
        .demand = {NAN, NAN, NAN, NAN, NAN, NAN, 0, NAN},
        .motor_rad_s = NAN,
        .best = {NAN, NAN, NAN, NAN, NAN, NAN, NAN},
        .torque_share = NAN,
        .arm_share = NAN,
        .arm_position = NAN,
        .seat_n = (given->missing & SIZING_LEAF) == 0 ? seat_n(given) : (double)NAN,
        .worm_margin = (given->missing & SIZING_DRIVE) == 0 && given->chain.drive.has_worm
                           ? worm_lock_margin(&given->chain.drive.worm)
                           : (double)NAN,
        .hold = {.margin = NAN, .torque_n_m = NAN},
        .up = {.duration_s = INFINITY},
        .down = {.duration_s = INFINITY}};
}

/* What no motor is needed for. */
static void forget_motor(struct sizing *sizing) {
    sizing->demand.start_v = sizing->demand.break_v = NAN;
    sizing->demand.full_least_v = sizing->demand.full_most_v = NAN;
    sizing->demand.current_a = NAN;
    sizing->torque_share = NAN;
}

struct sizing sizing_of(const struct sizing_given *given) {
    const struct chain *chain = &given->chain;
    double travel = chain->lift.travel;
    double full_speed = given->law.full_frac_s * travel;
    if ((given->missing & ~(unsigned)SIZING_OF_MOTOR) != 0) {
        return without_chain(given);
    }
    struct sizing sizing = {
        .demand = chain_demand(chain, full_speed, given->law.acceleration_frac_s2 * travel),
        .motor_rad_s = chain_motor_rad_s(chain, full_speed),
        .best = motor_best(&chain->motor, chain->supply_v),
        .seat_n = seat_n(given),
        .worm_margin = chain->drive.has_worm ? worm_lock_margin(&chain->drive.worm) : NAN,
        .hold = backdrive_of(chain, &given->stop)};
    if (chain->lift.kind == LIFT_SWING) {
        sizing.swing = swing_of(&chain->balance, &given->stand);
    }
    sizing.torque_share = sizing.demand.torque_n_m / sizing.best.stall_n_m;
    sizing.arm_share = arm_share(chain, &sizing.arm_position);
    travel_run(&given->law, &chain->lift, CHAIN_UP, &sizing.up);
    travel_run(&given->law, &chain->lift, CHAIN_DOWN, &sizing.down);
    if (given->missing != 0) {
        forget_motor(&sizing);
    }
    return sizing;
}
