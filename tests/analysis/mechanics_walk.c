#include "analysis/mechanics_walk.h"

#include "analysis/mechanics_any.h"
#include "analysis/mechanics_sums.h"
#include "mechanics/balance/least_squares.h"

enum { POINTS_MAX = 6, SAMPLES_MAX = 12 };

static void walk_lift(void) {
    struct lift lift;
    struct travel_law law;
    if (!any_lift(&lift)) {
        return;
    }
    double position = walk_number();
    lift_rack_arm(&lift, position);
    lift_rack_travel(&lift, position);
    if (any_law(&law)) {
        static struct travel travel;
        travel_run(&law, any_bool() ? &lift : NULL, any_bool() ? 1 : -1, &travel);
    }
}

static void walk_balance(void) {
    static struct balance balance;
    if (any_balance((enum lift_kind)walk_choice(5), &balance)) {
        balance_moment(&balance, walk_number());
        balance_inertia(&balance, walk_number());
        if (balance.kind == LIFT_VERTICAL) {
            balance_ropes_even_m(&balance.ropes);
        } else {
            balance_resultant(&balance);
            balance_toe_reaction_n(&balance, walk_number());
        }
    }
}

static void walk_drive(void) {
    static struct drive drive;
    static struct motor motor;
    if (any_drive(&drive)) {
        drive_motor_torque_n_m(&drive, walk_number(), walk_number());
        drive_is_locking(&drive);
    }
    if (any_motor(&motor)) {
        motor_voltage_v(&motor, walk_number(), walk_number());
        motor_best(&motor, walk_number());
    }
}

static void walk_outline(void) {
    struct outline_room room = any_room();
    struct point points[POINTS_MAX];
    for (unsigned i = 0; i < POINTS_MAX; i++) {
        points[i] = any_point();
    }
    unsigned count = walk_choice(POINTS_MAX + 1);
    double travel = walk_number();
    if (outline_check(&room, points, count, travel) == NULL) {
        outline_clearance(&room, points, count, travel);
    }
}

static void walk_pockets(void) {
    struct pocket pockets[ANY_POCKETS];
    unsigned count = any_pockets(pockets);
    struct pockets_aim aim = {walk_number(), walk_number(), walk_number(), walk_number(),
                              walk_number(), walk_number(), walk_number()};
    if (pockets_check(pockets, count, &aim) == NULL) {
        pockets_search(pockets, count, &aim);
    }
}

static void walk_least_squares(void) {
    static struct least_squares sum;
    static struct least_squares_fit fit;
    least_squares_begin(&sum, 1 + walk_choice(LEAST_SQUARES_MAX));
    for (unsigned s = walk_choice(SAMPLES_MAX); s > 0; s--) {
        double factors[LEAST_SQUARES_MAX];
        for (unsigned i = 0; i < LEAST_SQUARES_MAX; i++) {
            factors[i] = walk_number();
        }
        least_squares_add(&sum, factors, walk_number());
    }
    least_squares_solve(&sum, &fit);
}

void walk_mechanics(void) {
    static void (*const walks[])(void) = {
        walk_lift,    walk_balance,       walk_drive,        walk_outline,
        walk_pockets, walk_least_squares, walk_train_stop,   walk_chain,
        walk_sizing,  walk_trend,         walk_balance_test,
    };
    walks[walk_choice(sizeof walks / sizeof walks[0])]();
}
