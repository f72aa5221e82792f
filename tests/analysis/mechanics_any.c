#include "analysis/mechanics_any.h"

#include "analysis/mechanics_walk.h"

#include <math.h>

enum { ITEMS_MAX = 4 };

bool any_bool(void) {
    return walk_choice(2) == 1;
}

struct point any_point(void) {
    return (struct point){walk_number(), walk_number()};
}

bool any_lift(struct lift *lift) {
    *lift = (struct lift){
        .kind = (enum lift_kind)walk_choice(5),
        .travel = walk_number(),
        .rack_radius_m = walk_number(),
        .strut = {any_point(), any_point(), walk_number(), walk_number(), any_bool()},
        .rolling = {walk_number(), (enum lift_rolling_drive)walk_choice(3), walk_number()},
        .parts_of_line = walk_choice(9),
    };
    return lift_check(lift) == NULL;
}

bool any_law(struct travel_law *law) {
    *law = (struct travel_law){walk_number(), walk_number(), walk_number(),
                               walk_number(), walk_number(), walk_number()};
    return law->full_frac_s > 0 && law->creep_frac_s > 0 && law->acceleration_frac_s2 > 0 &&
           law->deceleration_frac_s2 > 0 && law->zone_seat_frac >= 0 && law->zone_seat_frac <= 1 &&
           law->zone_open_frac >= 0 && law->zone_open_frac <= 1;
}

bool any_balance(enum lift_kind kind, struct balance *balance) {
    if (kind == LIFT_VERTICAL) {
        struct balance_ropes ropes = {walk_number(),  walk_number(), walk_number(),
                                      walk_choice(9), walk_number(), walk_number()};
        return balance_of_ropes(&ropes, balance) == NULL;
    }
    struct balance_item items[ITEMS_MAX];
    for (unsigned i = 0; i < ITEMS_MAX; i++) {
        items[i] = (struct balance_item){walk_number(), any_point(), walk_number(), walk_number()};
    }
    return balance_of_items(kind, walk_number(), items, walk_choice(ITEMS_MAX + 1), balance) ==
           NULL;
}

bool any_drive(struct drive *drive) {
    *drive = (struct drive){
        .pinion_radius_m = walk_number(),
        .planetary_ratio = walk_number(),
        .planetary_efficiency = walk_number(),
        .has_worm = any_bool(),
        .worm = {walk_number(), walk_number(), walk_number(), walk_number(), walk_number()},
        .rack_efficiency = walk_number(),
    };
    return drive_check(drive) == NULL;
}

bool any_motor(struct motor *motor) {
    struct motor_sheet sheet = {walk_number(), walk_number(), walk_number(), walk_number(),
                                walk_number()};
    return motor_from_sheet(&sheet, motor) == NULL;
}

bool any_chain(struct chain *chain) {
    *chain = (struct chain){.supply_v = walk_number(),
                            .rotor_inertia_kg_m2 = walk_number(),
                            .friction_running = walk_number(),
                            .friction_static = walk_number()};
    return any_lift(&chain->lift) && any_balance(chain->lift.kind, &chain->balance) &&
           any_drive(&chain->drive) && any_motor(&chain->motor);
}

bool any_train(struct train *train) {
    *train = (struct train){walk_number(), walk_number(), walk_number(),
                            walk_number(), walk_number(), walk_number()};
    return train->speed_m_s > 0 && train->deceleration_m_s2 > 0 && fabs(train->grade) < 1 &&
           train->reaction_s >= 0 && train->pickup_span_m >= 0 && train->margin_m >= 0;
}

struct outline_room any_room(void) {
    return (struct outline_room){walk_number(), walk_number(), walk_number(), walk_number(),
                                 walk_number()};
}

unsigned any_pockets(struct pocket pockets[ANY_POCKETS]) {
    for (unsigned i = 0; i < ANY_POCKETS; i++) {
        pockets[i] = (struct pocket){any_point(), walk_number(), walk_choice(ANY_BLOCKS_MAX)};
    }
#ifdef __FRAMAC__
    return 2; /* it unrolls the search's recursion, and must know how deep that goes */
#else
    return walk_choice(ANY_POCKETS + 1);
#endif
}
