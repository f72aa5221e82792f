#include "analysis/mechanics_walk.h"

#include "mechanics/balance.h"
#include "mechanics/drive.h"
#include "mechanics/least_squares.h"
#include "mechanics/motor.h"
#include "mechanics/outline.h"
#include "mechanics/pockets.h"
#include "mechanics/profile.h"
#include "mechanics/train_stop.h"
#include "mechanics/travel.h"

#include <math.h>

/* Few: searching many pockets takes long. */
enum { BLOCKS_MAX = 6, POCKETS_TRIED = 4, POINTS_MAX = 6, ITEMS_MAX = 4, SAMPLES_MAX = 12 };

static struct point any_point(void) {
    return (struct point){walk_number(), walk_number()};
}

static bool any_bool(void) {
    return walk_choice(2) == 1;
}

static void walk_lift(void) {
    struct lift lift = {
        .kind = (enum lift_kind)walk_choice(5),
        .travel = walk_number(),
        .rack_radius_m = walk_number(),
        .strut = {any_point(), any_point(), walk_number(), walk_number(), any_bool()},
        .rolling = {walk_number(), (enum lift_rolling_drive)walk_choice(3), walk_number()},
        .parts_of_line = walk_choice(9),
    };
    if (lift_check(&lift) != NULL) {
        return;
    }
    double position = walk_number();
    lift_rack_arm(&lift, position);
    lift_position(&lift, lift_rack_travel(&lift, position));

    struct travel_law law = {walk_number(), walk_number(), walk_number(),
                             walk_number(), walk_number(), walk_number()};
    if (law.full_frac_s > 0 && law.creep_frac_s > 0 && law.acceleration_frac_s2 > 0 &&
        law.deceleration_frac_s2 > 0 && law.zone_seat_frac >= 0 && law.zone_seat_frac <= 1 &&
        law.zone_open_frac >= 0 && law.zone_open_frac <= 1) {
        static struct travel travel;
        travel_run(&law, any_bool() ? &lift : NULL, any_bool() ? 1 : -1, &travel);
    }
}

static void walk_balance(void) {
    struct balance_item items[ITEMS_MAX];
    for (unsigned i = 0; i < ITEMS_MAX; i++) {
        items[i] = (struct balance_item){walk_number(), any_point(), walk_number(), walk_number()};
    }
    static struct balance balance;
    if (balance_of_items((enum lift_kind)walk_choice(5), walk_number(), items,
                         walk_choice(ITEMS_MAX + 1), &balance) == NULL) {
        balance_moment(&balance, walk_number());
        balance_inertia(&balance, walk_number());
        balance_resultant(&balance);
        balance_toe_reaction_n(&balance, walk_number());
    }
    struct balance_ropes ropes = {walk_number(),  walk_number(), walk_number(),
                                  walk_choice(9), walk_number(), walk_number()};
    if (balance_of_ropes(&ropes, &balance) == NULL) {
        balance_moment(&balance, walk_number());
        balance_ropes_even_m(&ropes);
    }
}

static void walk_drive(void) {
    struct drive drive = {.pinion_radius_m = walk_number(),
                          .planetary_ratio = walk_number(),
                          .planetary_efficiency = walk_number(),
                          .has_worm = any_bool(),
                          .rack_efficiency = walk_number()};
    drive.worm.ratio = walk_number();
    drive.worm.lead_rad = walk_number();
    drive.worm.pressure_rad = walk_number();
    drive.worm.mu_low = walk_number();
    drive.worm.mu_high = walk_number();
    if (drive_check(&drive) == NULL) {
        drive_motor_torque_n_m(&drive, walk_number(), walk_number());
        drive_is_locking(&drive);
    }
    struct motor_sheet sheet = {.voltage_v = walk_number(),
                                .no_load_rad_s = walk_number(),
                                .no_load_a = walk_number(),
                                .stall_n_m = walk_number(),
                                .stall_a = walk_number()};
    static struct motor motor;
    if (motor_from_sheet(&sheet, &motor) == NULL) {
        motor_voltage_v(&motor, walk_number(), walk_number());
        motor_best(&motor, walk_number());
    }
}

static void walk_profile(void) {
    static struct profile profile;
    struct profile_trapezoid fast = {walk_number(), walk_number(), walk_number(), walk_number()};
    struct profile_slow_zone slow = {fast, walk_number(), walk_number(), walk_number()};
    struct profile_s_curve s_curve = {walk_number(), walk_number(), walk_number(),
                                      walk_number(), walk_number(), walk_number()};
    if (profile_of_trapezoid(&fast, &profile) == NULL) {
        profile_at(&profile, walk_number());
    }
    if (profile_of_slow_zone(&slow, &profile) == NULL) {
        profile_at(&profile, walk_number());
    }
    if (profile_of_s_curve(&s_curve, &profile) == NULL) {
        profile_at(&profile, walk_number());
    }
}

static void walk_outline(void) {
    struct outline_room room = {walk_number(), walk_number(), walk_number(), walk_number(),
                                walk_number()};
    struct point points[POINTS_MAX];
    for (unsigned i = 0; i < POINTS_MAX; i++) {
        points[i] = any_point();
    }
    unsigned count = walk_choice(POINTS_MAX + 1);
    double travel = walk_number();
    if (outline_check(&room, points, count, travel) == NULL) {
        outline_clearance(&room, points, count, travel);
        outline_limit_rad(&room, points[0], walk_number());
    }
}

static void walk_pockets(void) {
    struct pocket pockets[POCKETS_TRIED];
    for (unsigned i = 0; i < POCKETS_TRIED; i++) {
        pockets[i] = (struct pocket){
            .at = any_point(), .block_kg = walk_number(), .blocks_max = walk_choice(BLOCKS_MAX)};
    }
    struct pockets_aim aim = {walk_number(), walk_number(), walk_number(), walk_number(),
                              walk_number(), walk_number(), walk_number()};
#ifdef __FRAMAC__
    unsigned count = 2; /* it unrolls the search's recursion, and must know how deep that goes */
#else
    unsigned count = walk_choice(POCKETS_TRIED + 1);
#endif
    if (pockets_check(pockets, count, &aim) == NULL) {
        double masses[POCKETS_TRIED];
        pockets_masses(pockets, count, &aim, masses);
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
    if (least_squares_solve(&sum, &fit) == NULL) {
        least_squares_worth(&sum, &fit, any_bool());
    }
}

void walk_mechanics(void) {
    static void (*const walks[])(void) = {walk_lift,         walk_balance, walk_drive,
                                          walk_profile,      walk_outline, walk_pockets,
                                          walk_least_squares};
    walks[walk_choice(sizeof walks / sizeof walks[0])]();
}
