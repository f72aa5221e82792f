/* quantity.h: what people measure, as they write it, into SI units.
 * "7 ft 5 in", "5 1/4 in", "31 kg", "75 deg", "16800 rpm", "32 DP", "8 %", "256 KiB".
 * Definitions are exact: 1 in = 25.4 mm and 1 lb = 0.45359237 kg (international yard and pound
 * agreement, 1959), standard gravity 9.80665 m/s2 (3rd CGPM, 1901). */
#ifndef CONFIG_QUANTITY_H
#define CONFIG_QUANTITY_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

/* In brackets: the unit values are given back in. */
enum quantity {
    QUANTITY_RATIO = 0, /* [1]: "0.08", "8 %", "25:1"; the only one that needs no unit */
    QUANTITY_LENGTH,    /* [m] */
    QUANTITY_ANGLE,     /* [rad] */
    QUANTITY_MASS,      /* [kg] */
    QUANTITY_TIME,      /* [s] */
    QUANTITY_SPEED,     /* [m/s] */
    QUANTITY_ROTATION,  /* [rad/s] */
    QUANTITY_ACCELERATION,
    QUANTITY_ANGULAR_ACCELERATION, /* [rad/s2] */
    QUANTITY_FORCE,                /* [N] */
    QUANTITY_TORQUE,               /* [N m] */
    QUANTITY_INERTIA,              /* [kg m2] */
    QUANTITY_LINE_WEIGHT,          /* [kg/m], of a rope or chain */
    QUANTITY_VOLTAGE,              /* [V] */
    QUANTITY_CURRENT,              /* [A] */
    QUANTITY_TOOTH_SIZE,           /* the module [m] of a gear: "32 DP", "0.8 mm" */
    QUANTITY_MEMORY,               /* [byte] */
    QUANTITY_TEMPERATURE,          /* [degC] */
    QUANTITY_THERMAL_RESISTANCE,   /* [K/W] */
    QUANTITY_AREA,                 /* [m2] */
    QUANTITY_STRESS,               /* [Pa] */
    QUANTITIES
};

/* Reads `text` whole; "0" needs no unit. Returns false and fills error->what in words, with what
 * was found and an example of what is wanted, where the text is not a number, has no unit or an
 * unknown one (a near name is offered), measures something else, or is not finite. `value` is then
 * untouched. */
bool quantity_read(const char *text, enum quantity wanted, double *value, struct error *error);

/* The same of a text that may say how far the value may be off: "31 kg +- 2 kg", "3.2 N m +- 20 %"
 * ("±" too): `spread` in the same unit, not negative; 0 where nothing is said. A part of the value
 * is meant by "%", but of a ratio. Teeth and memory have none: they are counted. */
bool quantity_read_spread(const char *text, enum quantity wanted, double *value, double *spread,
                          struct error *error);

/* Writes a value of the unit in brackets, so that quantity_read() gives it back. */
void quantity_write(double value, enum quantity quantity, char *text, size_t size);

/* Of a text that quantity_read() takes: whether its unit, the first of several, is one of feet,
 * inches, pounds and ounces. */
bool quantity_is_customary(const char *text, enum quantity wanted);

const char *quantity_name(enum quantity quantity);    /* with its article: "an angle" */
const char *quantity_example(enum quantity quantity); /* "75 deg" */

/* The accepted spellings one by one, for a schema or a manual; NULL after the last. Empty for no
 * unit at all. */
const char *quantity_unit(enum quantity quantity, size_t index);

#endif
