#include "mechanics/hold/bump.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

typedef double push_at(const struct chain *chain, double toe_m, const void *what, double position);

/* The least over the travel; where the span is seated, the seat holds it. */
static struct bump least(const struct chain *chain, double toe_m, const void *what,
                         push_at *push_n) {
    struct bump bump = {INFINITY, chain->lift.travel};
    for (int i = 1; i <= CHAIN_STEPS; i++) {
        double position = chain->lift.travel * i / CHAIN_STEPS;
        double here_n = push_n(chain, toe_m, what, position);
        if (here_n < bump.push_n) {
            bump = (struct bump){here_n, position};
        }
    }
    return bump;
}

/* What is left of what holds, beside gravity. */
static double push_beyond_n(const struct chain *chain, double toe_m, double held_n_m,
                            double position) {
    return fmax(held_n_m - fabs(balance_moment(&chain->balance, position)), 0) / toe_m;
}

static double rack_push_n(const struct chain *chain, double toe_m, const void *what,
                          double position) {
    const double *rack_n = what;
    return push_beyond_n(chain, toe_m, *rack_n * lift_rack_arm(&chain->lift, position), position);
}

struct bump bump_by_rack(const struct chain *chain, double toe_m, double rack_n) {
    return least(chain, toe_m, &rack_n, rack_push_n);
}

static double turning_push_n(const struct chain *chain, double toe_m, const void *what,
                             double position) {
    return push_beyond_n(chain, toe_m, backdrive_held_n_m(chain, what, position), position);
}

struct bump bump_turns(const struct chain *chain, double toe_m, const struct backdrive_stop *stop) {
    return least(chain, toe_m, stop, turning_push_n);
}

const char *bump_tower_check(const struct bump_tower *tower) {
    if (tower->front_m <= tower->back_m) {
        return "the front edge of the tower's base must lie ahead of its back edge";
    }
    if (tower->centre_m >= tower->front_m || tower->centre_m <= tower->back_m) {
        return "the tower's centre must lie between the edges of its base";
    }
    return NULL;
}

/* Where the centre of gravity of all that turns is, from the axis. */
static double leaf_x_m(const struct chain *chain, double position) {
    return balance_moment(&chain->balance, position) /
           (chain->balance.mass_kg * NUMBER_GRAVITY_M_S2);
}

/* What keeps it from tipping about the edge: sense +1 the front, -1 the back edge. */
static double standing_n_m(const struct chain *chain, const struct bump_tower *tower, double edge_m,
                           int sense, double position) {
    double tower_n = tower->mass_kg * NUMBER_GRAVITY_M_S2;
    double leaf_n = chain->balance.mass_kg * NUMBER_GRAVITY_M_S2;
    return sense *
           (tower_n * (edge_m - tower->centre_m) + leaf_n * (edge_m - leaf_x_m(chain, position)) +
            tower->screws_n * (edge_m - tower->screws_m));
}

static double tip_push_n(const struct chain *chain, double toe_m, const void *what,
                         double position) {
    const struct bump_tower *tower = what;
    double least_n = INFINITY;
    for (int sense = -1; sense <= 1; sense += 2) {
        double edge_m = sense > 0 ? tower->front_m : tower->back_m;
        /* From the edge to the toe; the push is square to the leaf, down in front, up behind. */
        struct point toe = {toe_m * cos(position) - edge_m,
                            toe_m * sin(position) + tower->height_m};
        double lever_m = toe.x_m * cos(position) + toe.y_m * sin(position);
        double holds_n_m = standing_n_m(chain, tower, edge_m, sense, position);
        if (lever_m > 0) {
            least_n = fmin(least_n, fmax(holds_n_m, 0) / lever_m);
        }
    }
    return least_n;
}

struct bump bump_tips(const struct chain *chain, double toe_m, const struct bump_tower *tower) {
    return least(chain, toe_m, tower, tip_push_n);
}

static double side_push_n(const struct chain *chain, double toe_m, const void *what,
                          double position) {
    const struct bump_tower *tower = what;
    double weight_n = (tower->mass_kg + chain->balance.mass_kg) * NUMBER_GRAVITY_M_S2;
    double height_m = tower->height_m + toe_m * sin(position);
    return (weight_n + tower->screws_n) * tower->width_m / 2 / height_m;
}

struct bump bump_tips_sideways(const struct chain *chain, double toe_m,
                               const struct bump_tower *tower) {
    return least(chain, toe_m, tower, side_push_n);
}
