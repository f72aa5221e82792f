#include "tools/drawtender/sizing/balance.h"

#include "mechanics/balance/balance_fit.h"
#include "mechanics/number.h"

#include <math.h>

double balance_matters_n_m(const struct config_bridge *bridge) {
    const struct sizing_given *given = &bridge->sizing;
    double toe_m = number_is_positive(given->toe_x_m) ? given->toe_x_m : 1;
    double half_n = (given->toe_most_n - given->toe_least_n) / 2;
    return (number_is_positive(half_n) ? half_n : 2.5) * toe_m;
}

const char *balance_fit_run(struct balance_run *run, const struct balance_weight *weight,
                            struct balance_test *test, size_t *dropped) {
    const struct chain *chain = &run->bridge->sizing.chain;
    struct samples *samples = &run->samples;
    size_t kept = balance_test_steady(chain, samples->sample, samples->count);
    *dropped = samples->count - kept;
    samples->count = kept;
    return balance_test_solve(chain, samples->sample, kept, weight,
                              balance_matters_n_m(run->bridge), test);
}

const char *balance_misfit_words(const struct balance_test *test) {
    return test->are_gains_measured
               ? "the runs do not fit this span: something rubs or slips; record them again"
               : "the drive's data do not fit: hang a known weight at the toe and record again";
}

struct weights balance_weights(const struct config_bridge *bridge, double cosine_n_m,
                               double sine_n_m) {
    struct sizing_given given = bridge->sizing;
    given.chain.balance.sx_kg_m = cosine_n_m / NUMBER_GRAVITY_M_S2; /* A = g Sx, B = -g Sy */
    given.chain.balance.sy_kg_m = -sine_n_m / NUMBER_GRAVITY_M_S2;
    return weights_of(&given);
}
