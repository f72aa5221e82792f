#include "mechanics/balance/weights.h"

#include "mechanics/verdict.h"

#include <math.h>

static void by_pockets(const struct sizing_given *given, struct weights *weights) {
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
        weights->by = WEIGHTS_POCKETS;
        weights->pockets = pockets_search(given->pocket, given->pockets, &aim);
    }
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

/* An error of the seat's load counts so many times one of the balance angle. */
static const double seat_share = 1000;

static struct slides_aim slides_aim_of(const struct sizing_given *given) {
    struct slides_aim aim = {.base_sx_kg_m = given->chain.balance.sx_kg_m,
                             .base_sy_kg_m = given->chain.balance.sy_kg_m,
                             .sx_share = 1};
    for (unsigned i = 0; i < given->slides; i++) {
        struct point now = slides_point(&given->slide[i], given->slide_now_m[i]);
        aim.base_sx_kg_m -= given->slide[i].mass_kg * now.x_m;
        aim.base_sy_kg_m -= given->slide[i].mass_kg * now.y_m;
    }
    if (given->chain.lift.kind != LIFT_SWING) {
        double seat_n = (given->toe_least_n + given->toe_most_n) / 2;
        aim.sx_kg_m = seat_n * given->toe_x_m / NUMBER_GRAVITY_M_S2;
        aim.sy_kg_m = aim.sx_kg_m * tan(given->wanted_angle_rad);
        aim.sx_share = seat_share;
    }
    return aim;
}

static bool is_seat_reached(const struct sizing_given *given, const struct slides_answer *answer) {
    double seat_n = NUMBER_GRAVITY_M_S2 * answer->sx_kg_m / given->toe_x_m;
    return seat_n >= given->toe_least_n && seat_n <= given->toe_most_n;
}

static bool are_slides_near(const struct sizing_given *given, const struct slides_answer *answer) {
    if (given->chain.lift.kind == LIFT_SWING) {
        double off_m = hypot(answer->sx_kg_m, answer->sy_kg_m) / given->chain.balance.mass_kg;
        struct swing swing = swing_of(&given->chain.balance, &given->stand);
        return off_m <= swing.held_m / VERDICT_TIPPING_LEAST;
    }
    double angle_rad = atan2(answer->sy_kg_m, answer->sx_kg_m);
    return is_seat_reached(given, answer) &&
           fabs(angle_rad - given->wanted_angle_rad) <= WEIGHTS_ANGLE_WITHIN_RAD;
}

/* Where the seat carries `seat_n`, on a rail that may be longer than it is. */
static double place_for(const struct sizing_given *given, const struct slides_answer *answer,
                        unsigned i, double seat_n) {
    const struct slide *slide = &given->slide[i];
    double per_m = slide->mass_kg * (slide->to.x_m - slide->from.x_m) / slides_length_m(slide);
    double wanted_kg_m = seat_n * given->toe_x_m / NUMBER_GRAVITY_M_S2;
    return answer->place_m[i] + (wanted_kg_m - answer->sx_kg_m) / per_m;
}

static void find_range(const struct sizing_given *given, unsigned i, struct weights *weights) {
    const struct slide *slide = &given->slide[i];
    double one = place_for(given, &weights->slides, i, given->toe_least_n);
    double other = place_for(given, &weights->slides, i, given->toe_most_n);
    double least = fmax(fmin(one, other), 0);
    double most = fmin(fmax(one, other), slides_length_m(slide));
    if (slide->step_m > 0) { /* rounding does not cost a place */
        least = slide->step_m * ceil(least / slide->step_m - 1e-9);
        most = slide->step_m * floor(most / slide->step_m + 1e-9);
    }
    weights->slide_least_m[i] = least;
    weights->slide_most_m[i] = most;
}

static void find_slides(const struct sizing_given *given, struct weights *weights) {
    const struct slides_aim aim = slides_aim_of(given);
    weights->slides = slides_search(given->slide, given->slides, given->slide_now_m, &aim);
    weights->is_slides_reached = are_slides_near(given, &weights->slides);
    for (unsigned i = 0; i < given->slides; i++) {
        weights->slide_least_m[i] = weights->slide_most_m[i] = NAN;
        if (given->chain.lift.kind != LIFT_SWING && is_seat_reached(given, &weights->slides)) {
            find_range(given, i, weights);
        }
    }
}

struct weights weights_of(const struct sizing_given *given) {
    enum lift_kind kind = given->chain.lift.kind;
    bool is_swing = kind == LIFT_SWING;
    bool is_toe_known = kind == LIFT_VERTICAL || number_is_positive(given->toe_x_m);
    bool is_wanted = !isnan(given->toe_least_n) && !isnan(given->toe_most_n);
    struct weights weights = {.by = WEIGHTS_NONE};
    if (given->is_hand || (is_swing ? given->slides == 0 : !is_toe_known || !is_wanted)) {
        return weights;
    }
    if (given->slides > 0 && kind != LIFT_VERTICAL) {
        find_slides(given, &weights);
        weights.by = WEIGHTS_SLIDES;
    }
    if (is_swing || weights.is_slides_reached) {
        return weights;
    }
    if (given->pockets > 0 && kind != LIFT_VERTICAL) {
        by_pockets(given, &weights);
    }
    bool has_reached = weights.by == WEIGHTS_POCKETS && weights.pockets.is_reached;
    if (!has_reached && find_counterweight(given, &weights) && weights.by == WEIGHTS_NONE) {
        weights.by = WEIGHTS_COUNTERWEIGHT;
    }
    return weights;
}
