/* number.h: what a number must be before a formula may use it. */
#ifndef MECHANICS_NUMBER_H
#define MECHANICS_NUMBER_H

#include <math.h>
#include <stdbool.h>

/* Not M_PI: that is an extension the C standard does not promise. */
#define NUMBER_PI 3.14159265358979323846

/* Standard gravity, m/s2: exact by definition (3rd CGPM, 1901; ISO 80000-3). */
#define NUMBER_GRAVITY_M_S2 9.80665

static inline bool number_is_positive(double value) {
    return isfinite(value) && value > 0.0;
}

static inline bool number_is_not_negative(double value) {
    return isfinite(value) && value >= 0.0;
}

/* An efficiency: above 0, at most 1. */
static inline bool number_is_efficiency(double value) {
    return number_is_positive(value) && value <= 1.0;
}

/* An angle between 0 and 90 degrees, ends left out. */
static inline bool number_is_acute_rad(double value) {
    return number_is_positive(value) && value < NUMBER_PI / 2;
}

#endif
