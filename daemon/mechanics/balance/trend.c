#include "mechanics/balance/trend.h"

#include "mechanics/balance/least_squares.h"

#include <math.h>
#include <stdbool.h>

double trend_t(size_t degrees_of_freedom) {
    static const struct {
        size_t degrees;
        double t;
    } rows[] = {{1, 63.657}, {2, 9.925},  {3, 5.841},  {4, 4.604},  {5, 4.032},  {6, 3.707},
                {7, 3.499},  {8, 3.355},  {9, 3.250},  {10, 3.169}, {12, 3.055}, {15, 2.947},
                {20, 2.845}, {30, 2.750}, {60, 2.660}, {100, 2.626}};
    double t = INFINITY;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0] && rows[i].degrees <= degrees_of_freedom;
         i++) {
        t = rows[i].t;
    }
    return t;
}

static void find_spread(const double *values, size_t count, struct trend_found *found) {
    double squares = 0;
    for (size_t i = 0; i < count; i++) {
        found->mean += values[i] / (double)count;
    }
    for (size_t i = 0; i < count; i++) {
        squares += (values[i] - found->mean) * (values[i] - found->mean);
    }
    found->deviation = sqrt(squares / (double)(count - 1));
}

static void find_slope(const double *values, size_t count, struct trend_found *found) {
    struct least_squares sum;
    struct least_squares_fit fit = {.value = {0}};
    least_squares_begin(&sum, 2);
    for (size_t i = 0; i < count; i++) {
        const double factors[] = {1, (double)i};
        least_squares_add(&sum, factors, values[i]);
    }
    least_squares_solve(&sum, &fit);
    found->slope = fit.value[1];
    found->slope_error = fit.error[1];
}

/* Of a series that fits exactly every slope is real; rounding is not. */
static int slope_sign(const struct trend_found *found, size_t count) {
    double t = trend_t(count - 2);
    double rounding = 1e-9 * (fabs(found->mean) + fabs(found->last));
    if (fabs(found->slope) <= t * found->slope_error || fabs(found->slope) <= rounding) {
        return 0;
    }
    return found->slope > 0 ? 1 : -1;
}

/* A new value scatters as the old ones do, and about a mean that is itself not certain. */
static int step_sign(const struct trend_found *found, size_t before) {
    double off = found->last - found->mean;
    double least = trend_t(before - 1) * found->deviation * sqrt(1 + 1 / (double)before);
    if (fabs(off) <= least || fabs(off) <= 1e-9 * fabs(found->mean)) {
        return 0;
    }
    return off > 0 ? 1 : -1;
}

struct trend_found trend_of(const double *values, size_t count) {
    struct trend_found found = {.trend = TREND_TOO_FEW};
    if (count < TREND_LEAST) {
        return found;
    }
    find_spread(values, count - 1, &found);
    find_slope(values, count, &found);
    found.last = values[count - 1];
    int step = step_sign(&found, count - 1);
    int slope = slope_sign(&found, count);
    struct trend_found before = {.trend = TREND_STEADY};
    find_spread(values, count - 1, &before);
    find_slope(values, count - 1, &before);
    before.last = values[count - 2];
    bool was_sloping = slope_sign(&before, count - 1) != 0;
    found.trend = TREND_STEADY;
    if (step != 0 && !was_sloping) {
        found.trend = step > 0 ? TREND_STEP_UP : TREND_STEP_DOWN;
    } else if (slope != 0) {
        found.trend = slope > 0 ? TREND_RISING : TREND_FALLING;
    }
    return found;
}
