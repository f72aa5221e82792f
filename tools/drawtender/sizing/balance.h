/* balance.h: what the verb `balance` works with; its ways are in files of their own, balance_*.c.
 */
#ifndef TOOLS_DRAWTENDER_BALANCE_H
#define TOOLS_DRAWTENDER_BALANCE_H

#include "config/config.h"
#include "mechanics/balance/balance_test.h"
#include "mechanics/balance/trend.h"
#include "mechanics/balance/weights.h"
#include "tools/drawtender/sizing/samples.h"
#include "tools/drawtender/tool.h"

#include <cjson/cJSON.h>

struct balance_run {
    struct tool *tool;
    struct config config;
    struct config_report report;
    const struct config_bridge *bridge;
    const struct net_bridge_setup *net;
    struct samples samples;
    struct balance_asked asked;
};

/* What is asked of a fit: shares as the configuration says they may be off, else the usual ones. */
struct balance_asked balance_asked_of(const char *file, const struct config_bridge *bridge,
                                      unsigned index);

/* The moment that must not go unseen: half the width of what the seat is wanted to carry, else half
 * of the 5 N that a model's toe wants at least (judgement, no source); at the toe, N.m. */
double balance_matters_n_m(const struct config_bridge *bridge);

/* Fits the samples of the run. NULL, or what is wrong in words. `dropped` were not steady. */
const char *balance_fit_run(struct balance_run *run, const struct balance_weight *weight,
                            struct balance_test *test, size_t *dropped);

/* Why a fit that no span can have is no result, and what to do. */
const char *balance_misfit_words(const struct balance_test *test);

/* Which weights would bring the span so measured to what is wanted. */
struct weights balance_weights(const struct config_bridge *bridge, double cosine_n_m,
                               double sine_n_m);

/* Reports. */
void balance_text_test(const struct balance_run *run, const struct balance_test *test,
                       size_t dropped);
void balance_json_test(const struct balance_run *run, const struct balance_test *test,
                       size_t dropped);
void balance_text_weights(const struct balance_run *run, const struct weights *weights);
cJSON *balance_json_weights(const struct config_bridge *bridge, const struct weights *weights);

/* How to measure without the drive: a spring scale at the toe. */
void balance_text_spring_scale(FILE *out);

/* Records a run up and a run down into a file; the bridge must be lined for rail. */
enum outcome balance_record(struct balance_run *run, const char *path);

/* Lifted and let down slowly by hand at the toe with a spring scale. */
enum outcome balance_spring(struct balance_run *run, const char *up, const char *down);

/* Balance and friction over several recorded openings, in their order. */
enum outcome balance_trend(struct balance_run *run, const char *const paths[], size_t count);

#endif
