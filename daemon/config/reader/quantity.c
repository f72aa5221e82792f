#include "config/reader/quantity.h"

#include "base/text/near.h"
#include "mechanics/number.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define POUND 45359237.0 /* per 1e8: kg */

static const struct {
    const char *name;
    const char *example;
} kinds[QUANTITIES] = {
    [QUANTITY_RATIO] = {"a ratio", "8 %"},
    [QUANTITY_LENGTH] = {"a length", "7 ft 5 in"},
    [QUANTITY_ANGLE] = {"an angle", "75 deg"},
    [QUANTITY_MASS] = {"a mass", "31 kg"},
    [QUANTITY_TIME] = {"a time", "1.5 s"},
    [QUANTITY_SPEED] = {"a speed", "0.3 m/s"},
    [QUANTITY_ROTATION] = {"a speed of turning", "2 deg/s"},
    [QUANTITY_ACCELERATION] = {"an acceleration", "0.3 m/s2"},
    [QUANTITY_ANGULAR_ACCELERATION] = {"an angular acceleration", "0.5 deg/s2"},
    [QUANTITY_FORCE] = {"a force", "6 N"},
    [QUANTITY_TORQUE] = {"a torque", "0.28 N m"},
    [QUANTITY_INERTIA] = {"a moment of inertia", "80 kg m2"},
    [QUANTITY_LINE_WEIGHT] = {"a weight of line", "90 g/m"},
    [QUANTITY_VOLTAGE] = {"a voltage", "24 V"},
    [QUANTITY_CURRENT] = {"a current", "1.2 A"},
    [QUANTITY_TOOTH_SIZE] = {"a tooth size", "32 DP"},
    [QUANTITY_MEMORY] = {"an amount of memory", "256 KiB"},
    [QUANTITY_TEMPERATURE] = {"a temperature", "25 degC"},
    [QUANTITY_THERMAL_RESISTANCE] = {"a thermal resistance", "4 K/W"},
    [QUANTITY_AREA] = {"an area", "0.75 mm2"},
    [QUANTITY_STRESS] = {"a stress", "60 MPa"},
};

/* One spelling of one unit. A value in it is multiplied by `numerator` and divided by
 * `denominator`: both are whole where the definition is decimal, so that the result is the
 * nearest double. Units of one `family` may be joined, larger before smaller, and have one
 * denominator. */
struct unit {
    const char *name;
    enum quantity quantity;
    double numerator;
    double denominator;
    char family; /* 0: never joined */
    bool is_per; /* the value divides: "32 DP" is 32 teeth per inch of diameter */
};

/* The first spelling of each quantity's unit is the one to show. */
static const struct unit units[] = {
    {"", QUANTITY_RATIO, 1, 1, 0, false},
    {"%", QUANTITY_RATIO, 1, 100, 0, false},

    {"m", QUANTITY_LENGTH, 1, 1, 0, false},
    {"cm", QUANTITY_LENGTH, 1, 100, 0, false},
    {"mm", QUANTITY_LENGTH, 1, 1000, 0, false},
    {"ft", QUANTITY_LENGTH, 3048, 10000, 'L', false},
    {"in", QUANTITY_LENGTH, 254, 10000, 'L', false},
    {"feet", QUANTITY_LENGTH, 3048, 10000, 'L', false},
    {"foot", QUANTITY_LENGTH, 3048, 10000, 'L', false},
    {"inch", QUANTITY_LENGTH, 254, 10000, 'L', false},
    {"inches", QUANTITY_LENGTH, 254, 10000, 'L', false},

    {"deg", QUANTITY_ANGLE, NUMBER_PI, 180, 0, false},
    {"°", QUANTITY_ANGLE, NUMBER_PI, 180, 0, false},
    {"rad", QUANTITY_ANGLE, 1, 1, 0, false},

    {"kg", QUANTITY_MASS, 1, 1, 0, false},
    {"g", QUANTITY_MASS, 1, 1000, 0, false},
    {"lb", QUANTITY_MASS, POUND, 1e8, 'M', false},
    {"lbs", QUANTITY_MASS, POUND, 1e8, 'M', false},
    {"oz", QUANTITY_MASS, POUND / 16, 1e8, 'M', false},

    {"s", QUANTITY_TIME, 1, 1, 'T', false},
    {"ms", QUANTITY_TIME, 1, 1e3, 0, false},
    {"us", QUANTITY_TIME, 1, 1e6, 0, false},
    {"µs", QUANTITY_TIME, 1, 1e6, 0, false},
    {"min", QUANTITY_TIME, 60, 1, 'T', false},
    {"h", QUANTITY_TIME, 3600, 1, 'T', false},
    {"day", QUANTITY_TIME, 86400, 1, 'T', false},
    {"days", QUANTITY_TIME, 86400, 1, 'T', false},

    {"m/s", QUANTITY_SPEED, 1, 1, 0, false},
    {"cm/s", QUANTITY_SPEED, 1, 100, 0, false},
    {"mm/s", QUANTITY_SPEED, 1, 1000, 0, false},
    {"in/s", QUANTITY_SPEED, 254, 10000, 0, false},
    {"ft/s", QUANTITY_SPEED, 3048, 10000, 0, false},
    {"km/h", QUANTITY_SPEED, 10, 36, 0, false},
    {"mph", QUANTITY_SPEED, 44704, 1e5, 0, false},

    {"deg/s", QUANTITY_ROTATION, NUMBER_PI, 180, 0, false},
    {"°/s", QUANTITY_ROTATION, NUMBER_PI, 180, 0, false},
    {"rad/s", QUANTITY_ROTATION, 1, 1, 0, false},
    {"rpm", QUANTITY_ROTATION, NUMBER_PI, 30, 0, false},

    {"m/s2", QUANTITY_ACCELERATION, 1, 1, 0, false},
    {"m/s²", QUANTITY_ACCELERATION, 1, 1, 0, false},
    {"cm/s2", QUANTITY_ACCELERATION, 1, 100, 0, false},
    {"mm/s2", QUANTITY_ACCELERATION, 1, 1000, 0, false},
    {"in/s2", QUANTITY_ACCELERATION, 254, 10000, 0, false},
    {"ft/s2", QUANTITY_ACCELERATION, 3048, 10000, 0, false},

    {"deg/s2", QUANTITY_ANGULAR_ACCELERATION, NUMBER_PI, 180, 0, false},
    {"°/s²", QUANTITY_ANGULAR_ACCELERATION, NUMBER_PI, 180, 0, false},
    {"rad/s2", QUANTITY_ANGULAR_ACCELERATION, 1, 1, 0, false},

    {"N", QUANTITY_FORCE, 1, 1, 0, false},
    {"kgf", QUANTITY_FORCE, NUMBER_GRAVITY_M_S2, 1, 0, false},
    {"gf", QUANTITY_FORCE, NUMBER_GRAVITY_M_S2, 1000, 0, false},
    {"lbf", QUANTITY_FORCE, NUMBER_GRAVITY_M_S2 *POUND, 1e8, 0, false},
    {"ozf", QUANTITY_FORCE, NUMBER_GRAVITY_M_S2 *POUND / 16, 1e8, 0, false},

    {"N m", QUANTITY_TORQUE, 1, 1, 0, false},
    {"Nm", QUANTITY_TORQUE, 1, 1, 0, false},
    {"N.m", QUANTITY_TORQUE, 1, 1, 0, false},
    {"N cm", QUANTITY_TORQUE, 1, 100, 0, false},
    {"mN m", QUANTITY_TORQUE, 1, 1000, 0, false},
    {"oz in", QUANTITY_TORQUE, NUMBER_GRAVITY_M_S2 *POUND / 16 * 254, 1e12, 0, false},
    {"oz-in", QUANTITY_TORQUE, NUMBER_GRAVITY_M_S2 *POUND / 16 * 254, 1e12, 0, false},
    {"lb in", QUANTITY_TORQUE, NUMBER_GRAVITY_M_S2 *POUND * 254, 1e12, 0, false},
    {"in-lb", QUANTITY_TORQUE, NUMBER_GRAVITY_M_S2 *POUND * 254, 1e12, 0, false},
    {"lb ft", QUANTITY_TORQUE, NUMBER_GRAVITY_M_S2 *POUND * 3048, 1e12, 0, false},
    {"kg cm", QUANTITY_TORQUE, NUMBER_GRAVITY_M_S2, 100, 0, false},
    {"g cm", QUANTITY_TORQUE, NUMBER_GRAVITY_M_S2, 1e5, 0, false},

    {"kg m2", QUANTITY_INERTIA, 1, 1, 0, false},
    {"kg m²", QUANTITY_INERTIA, 1, 1, 0, false},
    {"lb ft2", QUANTITY_INERTIA, POUND * 3048 * 3048, 1e16, 0, false},

    {"kg/m", QUANTITY_LINE_WEIGHT, 1, 1, 0, false},
    {"g/m", QUANTITY_LINE_WEIGHT, 1, 1000, 0, false},
    {"oz/ft", QUANTITY_LINE_WEIGHT, POUND / 16 / 3048, 1e4, 0, false},
    {"lb/ft", QUANTITY_LINE_WEIGHT, POUND / 3048, 1e4, 0, false},

    {"V", QUANTITY_VOLTAGE, 1, 1, 0, false},
    {"mV", QUANTITY_VOLTAGE, 1, 1000, 0, false},

    {"A", QUANTITY_CURRENT, 1, 1, 0, false},
    {"mA", QUANTITY_CURRENT, 1, 1000, 0, false},

    {"DP", QUANTITY_TOOTH_SIZE, 254, 10000, 0, true},
    {"mm", QUANTITY_TOOTH_SIZE, 1, 1000, 0, false},

    {"degC", QUANTITY_TEMPERATURE, 1, 1, 0, false},
    {"°C", QUANTITY_TEMPERATURE, 1, 1, 0, false},
    {"degF", QUANTITY_TEMPERATURE, 5, 9, 0, false}, /* see zero_of() */
    {"°F", QUANTITY_TEMPERATURE, 5, 9, 0, false},

    {"K/W", QUANTITY_THERMAL_RESISTANCE, 1, 1, 0, false},

    {"mm2", QUANTITY_AREA, 1, 1e6, 0, false},
    {"mm²", QUANTITY_AREA, 1, 1e6, 0, false},
    {"cm2", QUANTITY_AREA, 1, 1e4, 0, false},
    {"in2", QUANTITY_AREA, 254.0 * 254, 1e8, 0, false},

    {"MPa", QUANTITY_STRESS, 1e6, 1, 0, false},
    {"N/mm2", QUANTITY_STRESS, 1e6, 1, 0, false},
    {"GPa", QUANTITY_STRESS, 1e9, 1, 0, false},
    {"psi", QUANTITY_STRESS, NUMBER_GRAVITY_M_S2 *POUND * 1e8 / (254.0 * 254), 1e8, 0, false},
    {"ksi", QUANTITY_STRESS, NUMBER_GRAVITY_M_S2 *POUND * 1e11 / (254.0 * 254), 1e8, 0, false},

    {"B", QUANTITY_MEMORY, 1, 1, 0, false},
    {"kB", QUANTITY_MEMORY, 1e3, 1, 0, false},
    {"KiB", QUANTITY_MEMORY, 1024, 1, 0, false},
    {"MB", QUANTITY_MEMORY, 1e6, 1, 0, false},
    {"MiB", QUANTITY_MEMORY, 1048576, 1, 0, false},
};

enum { UNITS = sizeof units / sizeof units[0], UNIT_SIZE = 16 };

const char *quantity_name(enum quantity quantity) {
    return kinds[quantity].name;
}

const char *quantity_example(enum quantity quantity) {
    return kinds[quantity].example;
}

const char *quantity_unit(enum quantity quantity, size_t index) {
    for (size_t i = 0; i < UNITS; i++) {
        if (units[i].quantity == quantity && index-- == 0) {
            return units[i].name;
        }
    }
    return NULL;
}

/* Where reading stands, and what for: so that every complaint can say both. */
struct reading {
    const char *text;
    const char *at;
    enum quantity wanted;
    struct error *error;
};

/* "<text>" <found>: <what is wanted> is wanted, such as "<example>". Returns false. */
static bool complain(const struct reading *r, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static bool complain(const struct reading *r, const char *format, ...) {
    char found[120];
    va_list words;
    va_start(words, format);
    vsnprintf(found, sizeof found, format, words);
    va_end(words);
    return error_set(r->error, "", "\"%.40s\" %s: %s is wanted, such as \"%s\"", r->text, found,
                     quantity_name(r->wanted), quantity_example(r->wanted));
}

static void skip_spaces(struct reading *r) {
    while (*r->at == ' ' || *r->at == '\t') {
        r->at++;
    }
}

static const char *skip_digits(const char *at) {
    while (isdigit((unsigned char)*at)) {
        at++;
    }
    return at;
}

/* The end of a decimal number without sign at `at`, or `at` itself: strtod() alone would take
 * "inf", "nan" and hexadecimal too. */
static const char *decimal_end(const char *at) {
    const char *whole_end = skip_digits(at);
    const char *end = whole_end;
    if (*end == '.') {
        end = skip_digits(end + 1);
        if (end == whole_end + 1 && whole_end == at) {
            return at;
        }
    }
    if (end != at && (*end == 'e' || *end == 'E')) {
        const char *exponent = end + 1;
        exponent += *exponent == '+' || *exponent == '-' ? 1 : 0;
        end = isdigit((unsigned char)*exponent) ? skip_digits(exponent) : end;
    }
    return end;
}

/* "/4" after "1", with the 1 in `value`. */
static bool read_denominator(struct reading *r, double *value) {
    const char *end = skip_digits(++r->at);
    double denominator = strtod(r->at, NULL);
    if (end == r->at || denominator <= 0) {
        return complain(r, "has a fraction without a denominator");
    }
    *value /= denominator;
    r->at = end;
    return true;
}

/* A number without its sign: "5", "0.3", "1e-3", "1/2", "5 1/4"; for a ratio also "25:1". */
static bool read_number(struct reading *r, double *value) {
    const char *start = r->at;
    const char *end = decimal_end(start);
    if (end == start) {
        return complain(r, r->at == r->text ? "is not a number with a unit" : "has no number");
    }
    *value = strtod(start, NULL);
    r->at = end;
    if (*end == ',') {
        return complain(r, "has a comma (decimals are written with a point)");
    }
    bool is_whole = skip_digits(start) == end;
    if (is_whole && *end == '/') {
        return read_denominator(r, value);
    }
    if (*end == ':' && r->wanted == QUANTITY_RATIO) {
        r->at++;
        const char *second_end = decimal_end(r->at);
        double second = strtod(r->at, NULL);
        if (second_end == r->at || !(second > 0)) {
            return complain(r, "has nothing to compare with after the colon");
        }
        *value /= second;
        r->at = second_end;
        return true;
    }
    if (is_whole && *end == ' ') {
        const char *numerator = end + strspn(end, " ");
        const char *numerator_end = skip_digits(numerator);
        if (numerator_end != numerator && *numerator_end == '/') {
            double part = strtod(numerator, NULL);
            r->at = numerator_end;
            if (!read_denominator(r, &part)) {
                return false;
            }
            *value += part;
        }
    }
    return true;
}

static bool starts_number(const char *at) {
    return isdigit((unsigned char)*at) || *at == '.' || *at == '-' || *at == '+';
}

/* Copies the unit's text, up to the end or to the number after it, with single spaces. Too long a
 * unit is cut: it is unknown anyway. */
static void take_unit_text(struct reading *r, char *unit, size_t size) {
    size_t length = 0;
    skip_spaces(r);
    while (*r->at != '\0') {
        if (*r->at == ' ' || *r->at == '\t') {
            skip_spaces(r);
            if (*r->at == '\0' || starts_number(r->at)) {
                break;
            }
            if (length + 1 < size) {
                unit[length++] = ' ';
            }
        }
        if (length + 1 < size) {
            unit[length++] = *r->at;
        }
        r->at++;
    }
    unit[length] = '\0';
}

static bool complain_of_unit(const struct reading *r, const char *name) {
    for (size_t i = 0; i < UNITS; i++) {
        if (strcmp(units[i].name, name) == 0) {
            return complain(r, name[0] == '\0' ? "has no unit" : "is %s",
                            quantity_name(units[i].quantity));
        }
    }
    struct near near = near_begin(name);
    for (size_t i = 0; i < UNITS; i++) {
        if (units[i].quantity == r->wanted && units[i].name[0] != '\0') {
            near_offer(&near, units[i].name);
        }
    }
    if (near.best != NULL) {
        return complain(r, "has an unknown unit (did you mean \"%s\"?)", near.best);
    }
    return complain(r, "has an unknown unit \"%s\"", name);
}

static bool read_unit(struct reading *r, const struct unit **unit) {
    char name[UNIT_SIZE];
    take_unit_text(r, name, sizeof name);
    for (size_t i = 0; i < UNITS; i++) {
        if (units[i].quantity == r->wanted && strcmp(units[i].name, name) == 0) {
            *unit = &units[i];
            return true;
        }
    }
    return complain_of_unit(r, name);
}

/* "5 in" after "7 ft": `sum` and `smallest` are those of the parts so far. */
static bool read_joined(struct reading *r, double *sum, const struct unit **smallest) {
    double value;
    const struct unit *unit;
    if (*r->at == '-' || *r->at == '+') {
        return complain(r, "has a sign in the middle");
    }
    if (!read_number(r, &value) || !read_unit(r, &unit)) {
        return false;
    }
    if ((*smallest)->family == 0 || unit->family != (*smallest)->family ||
        unit->numerator >= (*smallest)->numerator) {
        return complain(r, "joins %s and %s, which do not go together", (*smallest)->name,
                        unit->name);
    }
    if (value * unit->numerator >= (*smallest)->numerator) {
        return complain(r, "has more %s than there are in one %s", unit->name, (*smallest)->name);
    }
    *sum += value * unit->numerator;
    *smallest = unit;
    return true;
}

/* Where a unit's zero lies in the quantity's own: 32 degF are 0 degC, exactly. */
static double zero_of(const struct unit *unit) {
    bool is_fahrenheit = unit->quantity == QUANTITY_TEMPERATURE && unit->denominator > 1;
    return is_fahrenheit ? -160 / 9.0 : 0;
}

/* "0" alone is the same in every unit. Of a tooth nothing is 0, and each scale of temperature has a
 * 0 of its own. */
static bool is_nought(const char *text, enum quantity wanted) {
    return *text == '0' && text[1 + strspn(text + 1, " \t")] == '\0' &&
           wanted != QUANTITY_TOOTH_SIZE && wanted != QUANTITY_TEMPERATURE;
}

bool quantity_read(const char *text, enum quantity wanted, double *value, struct error *error) {
    struct reading r = {.text = text, .at = text, .wanted = wanted, .error = error};
    const struct unit *unit;
    double sum;
    skip_spaces(&r);
    r.text = r.at;
    if (is_nought(r.at, wanted)) {
        *value = 0;
        return true;
    }
    bool is_negative = *r.at == '-';
    if (is_negative || *r.at == '+') {
        r.at++;
    }
    if (!read_number(&r, &sum) || !read_unit(&r, &unit)) {
        return false;
    }
    if (unit->is_per) {
        sum = unit->numerator / sum;
    } else {
        sum *= unit->numerator;
    }
    double denominator = unit->denominator;
    while (*r.at != '\0') {
        if (!read_joined(&r, &sum, &unit)) {
            return false;
        }
    }
    sum /= denominator;
    if (!isfinite(sum)) {
        return complain(&r, "is too large to calculate with");
    }
    *value = (is_negative ? -sum : sum) + zero_of(unit);
    return true;
}

/* Where how far it may be off begins, and what is after its sign; NULL: nothing is said of it. */
static const char *find_spread(const char *text, const char **after) {
    static const char *const signs[] = {"+-", "±"};
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
        const char *sign = strstr(text, signs[i]);
        if (sign != NULL) {
            *after = sign + strlen(signs[i]);
            return sign;
        }
    }
    return NULL;
}

static bool read_spread(const struct reading *whole, const char *after, double value,
                        double *spread) {
    bool is_share = whole->wanted != QUANTITY_RATIO && strchr(after, '%') != NULL;
    struct error error;
    double read;
    if (whole->wanted == QUANTITY_TOOTH_SIZE || whole->wanted == QUANTITY_MEMORY) {
        return complain(whole, "states an uncertainty, but is a count");
    }
    if (!quantity_read(after, is_share ? QUANTITY_RATIO : whole->wanted, &read, &error)) {
        return error_set(whole->error, "", "\"%.40s\": its uncertainty cannot be read: %.150s",
                         whole->text, error.what);
    }
    if (read < 0) {
        return complain(whole, "has an uncertainty below zero");
    }
    *spread = is_share ? read * fabs(value) : read;
    return true;
}

bool quantity_read_spread(const char *text, enum quantity wanted, double *value, double *spread,
                          struct error *error) {
    const struct reading whole = {.text = text, .at = text, .wanted = wanted, .error = error};
    const char *after;
    const char *sign = find_spread(text, &after);
    char head[80];
    double read;
    if (sign == NULL) {
        *spread = 0;
        return quantity_read(text, wanted, value, error);
    }
    if ((size_t)(sign - text) >= sizeof head) {
        return complain(&whole, "is too long");
    }
    snprintf(head, sizeof head, "%.*s", (int)(sign - text), text);
    if (!quantity_read(head, wanted, &read, error) || !read_spread(&whole, after, read, spread)) {
        return false;
    }
    *value = read;
    return true;
}

void quantity_write(double value, enum quantity quantity, char *text, size_t size) {
    static const char *const names[QUANTITIES] = {
        [QUANTITY_RATIO] = "",
        [QUANTITY_LENGTH] = "m",
        [QUANTITY_ANGLE] = "rad",
        [QUANTITY_MASS] = "kg",
        [QUANTITY_TIME] = "s",
        [QUANTITY_SPEED] = "m/s",
        [QUANTITY_ROTATION] = "rad/s",
        [QUANTITY_ACCELERATION] = "m/s2",
        [QUANTITY_ANGULAR_ACCELERATION] = "rad/s2",
        [QUANTITY_FORCE] = "N",
        [QUANTITY_TORQUE] = "N m",
        [QUANTITY_INERTIA] = "kg m2",
        [QUANTITY_LINE_WEIGHT] = "kg/m",
        [QUANTITY_VOLTAGE] = "V",
        [QUANTITY_CURRENT] = "A",
        [QUANTITY_TOOTH_SIZE] = "mm",
        [QUANTITY_MEMORY] = "B",
        [QUANTITY_TEMPERATURE] = "degC",
        [QUANTITY_THERMAL_RESISTANCE] = "K/W",
        [QUANTITY_AREA] = "mm2",
        [QUANTITY_STRESS] = "MPa",
    };
    double shown = quantity == QUANTITY_TOOTH_SIZE ? 1000 * value
                   : quantity == QUANTITY_AREA     ? 1e6 * value
                   : quantity == QUANTITY_STRESS   ? value / 1e6
                                                   : value;
    snprintf(text, size, "%.17g %s", shown, names[quantity]);
}

bool quantity_is_customary(const char *text, enum quantity wanted) {
    static const char *const names[] = {
        "ft",    "in",     "feet",  "foot",  "inch", "inches", "lb",    "lbs",   "oz",    "in/s",
        "ft/s",  "mph",    "in/s2", "ft/s2", "lbf",  "ozf",    "oz in", "oz-in", "lb in", "in-lb",
        "lb ft", "lb ft2", "oz/ft", "lb/ft", "DP",   "psi",    "degF",  "°F"};
    const char *after;
    const char *sign = find_spread(text, &after);
    char head[80];
    snprintf(head, sizeof head, "%.*s", sign != NULL ? (int)(sign - text) : 79, text);
    struct reading r = {.text = head, .at = head, .wanted = wanted};
    const struct unit *unit;
    double value;
    skip_spaces(&r);
    r.at += *r.at == '-' || *r.at == '+' ? 1 : 0;
    if (!read_number(&r, &value) || !read_unit(&r, &unit)) {
        return false;
    }
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        if (strcmp(unit->name, names[i]) == 0) {
            return true;
        }
    }
    return false;
}
