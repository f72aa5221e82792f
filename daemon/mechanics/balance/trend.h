/* trend.h: whether a value that is measured again and again, opening after opening, has changed, or
 * only within its usual scatter. Pure: no I/O, no allocation.
 *
 * A steady change: the slope of a straight line by least squares, against its standard error. A
 * sudden one: the last value against the mean of those before it, against their scatter. Both by
 * Student's t, two-sided, so strict that of a hundred sound series one is called changed. */
#ifndef MECHANICS_TREND_H
#define MECHANICS_TREND_H

#include <stddef.h>

enum trend {
    TREND_TOO_FEW = 0, /* below TREND_LEAST */
    TREND_STEADY,      /* scatters, no more */
    TREND_RISING,
    TREND_FALLING,
    TREND_STEP_UP, /* the last one stands out */
    TREND_STEP_DOWN,
};

enum { TREND_LEAST = 5 };

struct trend_found {
    enum trend trend;
    double slope, slope_error; /* for each opening */
    double mean, deviation;    /* of all but the last */
    double last;
};

struct trend_found trend_of(const double *values, size_t count);

/* Student's t that is passed, either way, once in a hundred times. Table: NIST/SEMATECH e-Handbook
 * of Statistical Methods, 1.3.6.7.2, column 0.995 (from memory); the next smaller entry between. */
double trend_t(size_t degrees_of_freedom);

#endif
