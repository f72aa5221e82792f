/* units.h: which units a configuration is written in, quantity by quantity, so that reports answer
 * in them: a file with "15 lb" gets answers in pounds. */
#ifndef CONFIG_UNITS_H
#define CONFIG_UNITS_H

#include "config/reader/fields.h"

/* All zero: metric. */
struct units {
    bool is_customary[QUANTITIES]; /* feet, inches, pounds, ounces */
};

/* By what is written most of each quantity in `json`, read by the table; metric if even. A quantity
 * that is written nowhere goes with another: forces with masses, torques and stresses with forces,
 * inertias and weights of line with masses, speeds and accelerations with lengths. */
void units_of(const struct object *object, cJSON *json, struct units *units);

/* What is shown, each in one metric and one customary unit. */
enum units_shown {
    UNITS_LENGTH,       /* mm, in */
    UNITS_DISTANCE,     /* m, ft */
    UNITS_MASS,         /* kg, lb */
    UNITS_FORCE,        /* N, lbf */
    UNITS_MOMENT,       /* of the span: N m, lb ft */
    UNITS_MOTOR_TORQUE, /* mN m, oz in */
    UNITS_INERTIA,      /* kg m2, lb ft2 */
    UNITS_SPEED,        /* m/s, ft/s */
    UNITS_STRESS,       /* MPa, psi */
    UNITS_SHOWN
};

struct units_unit {
    const char *name;
    double per_si; /* how many of it are one of SI */
};
struct units_unit units_unit(const struct units *units, enum units_shown shown);

#endif
