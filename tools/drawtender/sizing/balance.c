#include "tools/drawtender/sizing/balance.h"

#include "config/moves.h"
#include "mechanics/balance/balance_fit.h"
#include "mechanics/number.h"
#include "tools/drawtender/base/file_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

double balance_matters_n_m(const struct config_bridge *bridge) {
    const struct sizing_given *given = &bridge->sizing;
    double toe_m = number_is_positive(given->toe_x_m) ? given->toe_x_m : 1;
    double half_n = (given->toe_most_n - given->toe_least_n) / 2;
    return (number_is_positive(half_n) ? half_n : 2.5) * toe_m;
}

/* The motor of a value moved: each part of its sheet bears on both. */
static void add_share(struct config_moves *moves, size_t input, const struct motor *motor,
                      struct config *config, struct balance_asked *said) {
    struct config_report *report = calloc(1, sizeof *report);
    double kt_share = 0, no_load_share = 0;
    for (int way = -1; way <= 1 && report != NULL; way += 2) {
        config_moves_read(moves, input, way, config, report);
        const struct motor *moved = &config->bridge[config_moves_bridge(moves, input)].motor;
        if (moved->kt_n_m_a > 0 && moved->no_load_a > 0) {
            kt_share = fmax(kt_share, fabs(moved->kt_n_m_a / motor->kt_n_m_a - 1));
            no_load_share = fmax(no_load_share, fabs(moved->no_load_a / motor->no_load_a - 1));
        }
    }
    said->motor_share = hypot(said->motor_share, kt_share);
    said->no_load_share = hypot(said->no_load_share, no_load_share);
    free(report);
}

struct balance_asked balance_asked_of(const char *file, const struct config_bridge *bridge,
                                      unsigned index) {
    struct balance_asked asked = balance_asked(balance_matters_n_m(bridge)), said = {0};
    struct error error;
    char *text = file_text_read(file, &error);
    struct config_moves *moves = text != NULL ? config_moves_begin(text, strlen(text)) : NULL;
    struct config *config = calloc(1, sizeof *config);
    for (size_t i = 0; moves != NULL && config != NULL && i < config_moves_count(moves); i++) {
        if (config_moves_bridge(moves, i) == index &&
            strstr(config_moves_where(moves, i), "/motor/") != NULL) {
            add_share(moves, i, &bridge->motor, config, &said);
        }
    }
    free(config);
    config_moves_end(moves);
    free(text);
    asked.motor_share = said.motor_share > 0 ? said.motor_share : asked.motor_share;
    asked.no_load_share = said.no_load_share > 0 ? said.no_load_share : asked.no_load_share;
    return asked;
}

const char *balance_fit_run(struct balance_run *run, const struct balance_weight *weight,
                            struct balance_test *test, size_t *dropped) {
    const struct chain *chain = &run->bridge->sizing.chain;
    struct samples *samples = &run->samples;
    size_t kept = balance_test_steady(chain, samples->sample, samples->count);
    *dropped = samples->count - kept;
    samples->count = kept;
    return balance_test_solve(chain, samples->sample, kept, weight, run->asked, test);
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
