#include "analysis/mechanics_sums.h"

#include "analysis/mechanics_any.h"
#include "analysis/mechanics_walk.h"
#include "mechanics/balance/balance_test.h"
#include "mechanics/balance/trend.h"
#include "mechanics/balance/weights.h"
#include "mechanics/sizing.h"
#include "mechanics/verdict.h"

#include <math.h>
#include <string.h>

enum { CORNERS_MAX = 4, SAMPLES_MAX = 12, VALUES_MAX = 8 };

static double unknown_or_number(void) {
    return any_bool() ? NAN : walk_number();
}

void walk_chain(void) {
    static struct chain chain;
    if (!any_chain(&chain)) {
        return;
    }
    int way = any_bool() ? CHAIN_UP : CHAIN_DOWN;
    const struct chain_move move = {walk_number(), way, (enum chain_friction)walk_choice(3),
                                    walk_number()};
    chain_voltage_v(&chain, &move, walk_number());
    chain_demand(&chain, walk_number(), walk_number());
    chain_current_at(&chain, walk_number(), walk_number(), way, walk_number());
    chain_speed_from(&chain, walk_number());
}

static void any_corners(struct sizing_given *given) {
    given->outline_points = walk_choice(CORNERS_MAX + 1);
    for (unsigned i = 0; i < CORNERS_MAX; i++) {
        given->outline[i] = any_point();
    }
    given->weight_points = walk_choice(CORNERS_MAX + 1);
    for (unsigned i = 0; i < CORNERS_MAX; i++) {
        given->weight_outline[i] = any_point();
    }
    given->room = any_room();
    given->has_room = given->outline_points > 0 && any_bool() &&
                      outline_check(&given->room, given->outline, given->outline_points,
                                    given->chain.lift.travel) == NULL;
    given->least_gap_m = walk_number();
}

static void any_weights(struct sizing_given *given) {
    given->toe_x_m = unknown_or_number();
    given->toe_least_n = unknown_or_number();
    given->toe_most_n = unknown_or_number();
    given->wanted_angle_rad = walk_number();
    given->has_counterweight = any_bool();
    given->counterweight_kg = walk_number();
    given->counterweight = any_point();
    given->pockets = any_pockets(given->pocket);
    for (unsigned i = 0; i < given->pockets; i++) {
        given->pocket_blocks[i] = walk_choice(ANY_BLOCKS_MAX);
    }
}

/* False if there is no such stand. */
static bool any_stand(struct swing_stand *stand) {
    *stand = (struct swing_stand){walk_number(),       walk_number(),       walk_choice(9),
                                  unknown_or_number(), unknown_or_number(), walk_number()};
    return swing_check(stand) == NULL;
}

static bool any_slides(struct sizing_given *given) {
    given->slides = walk_choice(SLIDES_MAX + 1);
    for (unsigned i = 0; i < given->slides; i++) {
        given->slide[i] =
            (struct slide){walk_number(), any_point(), any_point(), any_bool() ? 0 : walk_number()};
        given->slide_now_m[i] = walk_number();
    }
    return slides_check(given->slide, given->slides) == NULL;
}

static void any_end(struct sizing_end *end) {
    bool has_train = any_train(&end->braked) && any_train(&end->dead);
    end->is_used = any_bool();
    end->has_train = has_train;
    end->stop_m = unknown_or_number();
    end->approach_m = unknown_or_number();
    end->approach_lock_s = walk_number();
}

void walk_sizing(void) {
    static struct sizing_given given;
    static struct sizing sizing;
    memset(&given, 0, sizeof given);
    given.is_hand = walk_choice(8) == 0;
    bool is_whole = given.is_hand || (any_chain(&given.chain) && any_law(&given.law));
    if (!is_whole) {
        return;
    }
    given.stop = (struct backdrive_stop){walk_number(), walk_number()};
    given.supply_a = unknown_or_number();
    given.travel_limit_s = walk_number();
    given.has_current_sensor = any_bool();
    given.stall_a = walk_number();
    given.stalled_a = walk_number();
    any_corners(&given);
    any_weights(&given);
    if (!any_stand(&given.stand) || !any_slides(&given)) {
        return;
    }
    any_end(&given.end[walk_choice(SIZING_ENDS_MAX)]);
    if (!given.is_hand) {
        sizing_at(&given, walk_number());
        sizing = sizing_of(&given);
    }
    const struct verdicts verdicts = verdicts_of(&given, &sizing);
    verdicts_are_good(&verdicts);
    weights_of(&given);
}

void walk_train_stop(void) {
    struct train train;
    if (any_train(&train)) {
        train_stop_dead_section_m(&train);
        train_stop_approach_lock_s(&train, walk_number(), walk_number());
    }
}

void walk_balance_test(void) {
    static struct chain chain;
    static struct balance_test result;
    struct balance_sample samples[SAMPLES_MAX];
    if (!any_chain(&chain)) {
        return;
    }
    for (unsigned i = 0; i < SAMPLES_MAX; i++) {
        samples[i] = (struct balance_sample){walk_number(), walk_number(), walk_number(),
                                             any_bool(), any_bool()};
    }
    const struct balance_weight weight = {any_bool() ? 0 : walk_number(), any_point()};
    size_t count = balance_test_steady(&chain, samples, walk_choice(SAMPLES_MAX + 1));
    balance_test_solve(&chain, samples, count, &weight,
                       (struct balance_asked){walk_number(), walk_number(), walk_number()},
                       &result);
}

void walk_trend(void) {
    double values[VALUES_MAX];
    for (unsigned i = 0; i < VALUES_MAX; i++) {
        values[i] = walk_number();
    }
    trend_of(values, walk_choice(VALUES_MAX + 1));
}
