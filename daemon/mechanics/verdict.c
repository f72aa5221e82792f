#include "mechanics/verdict.h"

#include <math.h>

static struct verdict *add(struct verdicts *verdicts, enum verdict_about about) {
    struct verdict *verdict = &verdicts->verdict[verdicts->count++];
    *verdict = (struct verdict){.about = about,
                                .state = VERDICT_UNKNOWN,
                                .value = NAN,
                                .least = -INFINITY,
                                .most = INFINITY,
                                .margin = NAN,
                                .at = NAN};
    return verdict;
}

static struct verdict *judge(struct verdicts *verdicts, enum verdict_about about, double value,
                             double least, double most) {
    struct verdict *verdict = add(verdicts, about);
    verdict->value = value;
    verdict->least = least;
    verdict->most = most;
    verdict->margin = fmin(value - least, most - value);
    verdict->state = verdict->margin >= 0 ? VERDICT_GOOD : VERDICT_BAD;
    return verdict;
}

static void judge_if_known(struct verdicts *verdicts, enum verdict_about about, double value,
                           double least, double most, unsigned needs) {
    if (needs == 0) {
        judge(verdicts, about, value, least, most);
    } else {
        struct verdict *verdict = add(verdicts, about);
        verdict->value = value; /* as far as it is known */
        verdict->needs = needs;
    }
}

static unsigned need_of(double value, enum verdict_need need) {
    return isnan(value) ? need : 0u;
}

/* Of the parts in `of`, those that are missing. */
static unsigned parts_needed(const struct sizing_given *given, unsigned of) {
    unsigned missing = given->missing & of;
    return ((missing & SIZING_LIFT) != 0 ? VERDICT_NEEDS_LIFT : 0u) |
           ((missing & SIZING_LEAF) != 0 ? VERDICT_NEEDS_LEAF : 0u) |
           ((missing & SIZING_DRIVE) != 0 ? VERDICT_NEEDS_DRIVE : 0u) |
           ((missing & SIZING_MOTOR) != 0 ? VERDICT_NEEDS_MOTOR : 0u) |
           ((missing & SIZING_SUPPLY) != 0 ? VERDICT_NEEDS_SUPPLY : 0u);
}

/* --- room --- */

static bool has_side_view(const struct sizing_given *given) {
    return !given->is_hand && given->chain.lift.kind != LIFT_SWING;
}

/* Where a corner that is lifted, or turned, comes nearest. */
static double nearest_at(const struct sizing_given *given, enum verdict_about about,
                         size_t corner) {
    const struct outline_room *room = &given->room;
    double travel = given->chain.lift.travel;
    switch (about) {
    case VERDICT_WEIGHT_FLOOR:
        return travel; /* it comes down as the span rises */
    case VERDICT_WEIGHT_CEILING:
    case VERDICT_WEIGHT_WALL:
        return 0;
    default:
        break;
    }
    if (given->chain.lift.kind == LIFT_VERTICAL) {
        return about == VERDICT_CEILING ? travel : 0;
    }
    struct point point = given->outline[corner];
    return about == VERDICT_CEILING ? outline_highest(room, point, travel).at_rad
           : about == VERDICT_FLOOR ? outline_lowest(room, point, travel).at_rad
                                    : outline_rearmost(room, point, travel).at_rad;
}

static void judge_gap(const struct sizing_given *given, struct verdicts *verdicts,
                      enum verdict_about about, double gap_m, size_t corner) {
    if (isinf(gap_m)) {
        return; /* nothing there */
    }
    struct verdict *verdict = judge(verdicts, about, gap_m, given->least_gap_m, INFINITY);
    verdict->index = (unsigned)corner;
    verdict->at = nearest_at(given, about, corner);
}

/* Ceiling, floor and wall, in the order of the enum from `first`. */
static void judge_gaps(const struct sizing_given *given, struct verdicts *verdicts,
                       enum verdict_about first, const struct outline_clearance *least,
                       unsigned needs) {
    if (needs != 0) {
        for (int i = 0; i < 3; i++) {
            add(verdicts, (enum verdict_about)((int)first + i))->needs = needs;
        }
        return;
    }
    judge_gap(given, verdicts, first, least->above_m, least->above_point);
    judge_gap(given, verdicts, (enum verdict_about)((int)first + 1), least->below_m,
              least->below_point);
    judge_gap(given, verdicts, (enum verdict_about)((int)first + 2), least->behind_m,
              least->behind_point);
}

static void judge_room(const struct sizing_given *given, struct verdicts *verdicts) {
    bool is_vertical = given->chain.lift.kind == LIFT_VERTICAL;
    double travel = given->chain.lift.travel;
    unsigned needs_room =
        (given->has_room ? 0u : VERDICT_NEEDS_ROOM) | parts_needed(given, SIZING_LIFT);
    if (!has_side_view(given)) {
        return;
    }
    struct outline_clearance span =
        is_vertical
            ? outline_lifted_clearance(&given->room, given->outline, given->outline_points, travel)
            : outline_clearance(&given->room, given->outline, given->outline_points, travel);
    judge_gaps(given, verdicts, VERDICT_CEILING, &span,
               needs_room | (given->outline_points == 0 ? VERDICT_NEEDS_OUTLINE : 0u));
    if (is_vertical && given->has_counterweight) {
        struct outline_clearance weight = outline_lifted_clearance(
            &given->room, given->weight_outline, given->weight_points, -travel);
        judge_gaps(given, verdicts, VERDICT_WEIGHT_CEILING, &weight,
                   needs_room | (given->weight_points == 0 ? VERDICT_NEEDS_WEIGHT_OUTLINE : 0u));
    }
}

/* --- lift and motor --- */

static void judge_arm(const struct sizing_given *given, const struct sizing *sizing,
                      struct verdicts *verdicts) {
    if (given->chain.lift.kind == LIFT_STRUT && (given->missing & SIZING_LIFT) == 0) {
        judge(verdicts, VERDICT_ARM, sizing->arm_share, LIFT_STRUT_LEAST_ARM, INFINITY)->at =
            sizing->arm_position;
    }
}

static void judge_end_load(const struct sizing_given *given, struct verdicts *verdicts,
                           enum verdict_about about, double load_n, unsigned needs) {
    judge_if_known(verdicts, about, load_n, given->toe_least_n, given->toe_most_n,
                   needs | need_of(given->toe_least_n, VERDICT_NEEDS_SEAT_WANTED));
}

static void judge_seat(const struct sizing_given *given, const struct sizing *sizing,
                       struct verdicts *verdicts) {
    const struct swing *swing = &sizing->swing;
    if ((given->missing & SIZING_LEAF) != 0) {
        add(verdicts, VERDICT_SEAT)->needs = VERDICT_NEEDS_LEAF;
        return;
    }
    if (given->chain.lift.kind != LIFT_SWING) {
        judge_end_load(given, verdicts, VERDICT_SEAT, sizing->seat_n,
                       need_of(sizing->seat_n, VERDICT_NEEDS_TOE));
        return;
    }
    unsigned needs = need_of(given->stand.toe_m, VERDICT_NEEDS_TOE) |
                     need_of(given->stand.heel_m, VERDICT_NEEDS_HEEL);
    judge(verdicts, VERDICT_TIPPING, swing->offset_m, -INFINITY,
          swing->held_m / VERDICT_TIPPING_LEAST);
    judge_end_load(given, verdicts, VERDICT_SEAT, swing->toe_n, needs);
    judge_end_load(given, verdicts, VERDICT_HEEL, swing->heel_n, needs);
}

static void judge_hold(const struct sizing_given *given, const struct sizing *sizing,
                       struct verdicts *verdicts) {
    unsigned needs = parts_needed(given, ~(unsigned)SIZING_SUPPLY);
    bool is_held_without =
        needs == VERDICT_NEEDS_MOTOR && sizing->hold.margin >= VERDICT_HOLD_LEAST;
    if (needs != 0 && !is_held_without) {
        add(verdicts, VERDICT_HOLD)->needs = needs; /* what the motor adds could do */
        return;
    }
    struct verdict *verdict =
        judge(verdicts, VERDICT_HOLD, sizing->hold.margin, VERDICT_HOLD_LEAST, INFINITY);
    verdict->at = sizing->hold.position;
    verdict->index = sizing->hold.by;
    verdict->needs = sizing->hold.by == BACKDRIVE_MOTOR && given->is_rest_assumed
                         ? VERDICT_NEEDS_REST_TORQUE
                         : 0;
}

static void judge_current(const struct sizing_given *given, const struct sizing *sizing,
                          struct verdicts *verdicts) {
    judge_if_known(verdicts, VERDICT_SUPPLY, sizing->demand.current_a, -INFINITY, given->supply_a,
                   need_of(given->supply_a, VERDICT_NEEDS_SUPPLY_CURRENT));
    if (given->has_current_sensor) {
        judge(verdicts, VERDICT_STALL_WATCH, given->stall_a, sizing->demand.current_a,
              given->stalled_a);
    }
}

static void judge_times(const struct sizing_given *given, const struct sizing *sizing,
                        struct verdicts *verdicts) {
    judge(verdicts, VERDICT_RAISING, sizing->up.duration_s, -INFINITY, given->travel_limit_s);
    judge(verdicts, VERDICT_LOWERING, sizing->down.duration_s, -INFINITY, given->travel_limit_s);
}

static void judge_motor(const struct sizing_given *given, const struct sizing *sizing,
                        struct verdicts *verdicts) {
    unsigned needs = parts_needed(given, ~0u);
    if (needs != 0) {
        add(verdicts, VERDICT_TORQUE)->needs = needs;
        add(verdicts, VERDICT_VOLTAGE)->needs = needs;
        add(verdicts, VERDICT_SUPPLY)->needs = needs;
        if ((given->missing & ~(unsigned)SIZING_OF_MOTOR) == 0) {
            judge_times(given, sizing, verdicts);
        }
        return;
    }
    struct verdict *torque =
        judge(verdicts, VERDICT_TORQUE, sizing->torque_share, -INFINITY, VERDICT_TORQUE_MOST);
    torque->at = sizing->demand.torque_position;
    torque->needs = given->chain.friction_running > 0 ? 0 : VERDICT_NEEDS_FRICTION;
    judge(verdicts, VERDICT_VOLTAGE, sizing->demand.full_most_v, -INFINITY, given->chain.supply_v);
    judge_current(given, sizing, verdicts);
    judge_times(given, sizing, verdicts);
}

/* --- trains --- */

static void judge_end(const struct sizing_end *end, unsigned index, struct verdicts *verdicts) {
    unsigned first = verdicts->count;
    if (!end->has_train) {
        add(verdicts, VERDICT_STOP_SECTION)->needs = VERDICT_NEEDS_TRAINS;
        add(verdicts, VERDICT_APPROACH)->needs = VERDICT_NEEDS_TRAINS;
        add(verdicts, VERDICT_APPROACH_LOCK)->needs = VERDICT_NEEDS_TRAINS;
    } else {
        judge_if_known(verdicts, VERDICT_STOP_SECTION, end->stop_m,
                       train_stop_dead_section_m(&end->dead), INFINITY,
                       need_of(end->stop_m, VERDICT_NEEDS_STOP_LENGTH));
        judge_if_known(verdicts, VERDICT_APPROACH, end->approach_m,
                       train_stop_distance_m(&end->braked), INFINITY,
                       need_of(end->approach_m, VERDICT_NEEDS_APPROACH_LENGTH));
        judge(verdicts, VERDICT_APPROACH_LOCK, end->approach_lock_s,
              train_stop_time_s(&end->braked), INFINITY);
    }
    for (unsigned i = first; i < verdicts->count; i++) {
        verdicts->verdict[i].index = index;
    }
}

struct verdicts verdicts_of(const struct sizing_given *given, const struct sizing *sizing) {
    static const struct verdicts none; /* Frama-C 25 fails on a brace here */
    struct verdicts verdicts = none;
    if (!given->is_hand) {
        judge_room(given, &verdicts);
        judge_arm(given, sizing, &verdicts);
        judge_seat(given, sizing, &verdicts);
        judge_hold(given, sizing, &verdicts);
        judge_motor(given, sizing, &verdicts);
    }
    for (unsigned i = 0; i < SIZING_ENDS_MAX; i++) {
        if (given->end[i].is_used) {
            judge_end(&given->end[i], i, &verdicts);
        }
    }
    return verdicts;
}

bool verdicts_are_good(const struct verdicts *verdicts) {
    for (unsigned i = 0; i < verdicts->count; i++) {
        if (verdicts->verdict[i].state == VERDICT_BAD) {
            return false;
        }
    }
    return true;
}
