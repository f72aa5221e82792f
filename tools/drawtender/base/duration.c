#include "tools/drawtender/base/duration.h"

#include <stddef.h>
#include <stdlib.h>
#include <string.h>

static const struct {
    const char *name;
    double ms;
} units[] = {{"ms", 1}, {"s", 1000}, {"min", 60000}, {"h", 3600000}};

bool duration_parse(const char *text, uint32_t *ms, struct error *error) {
    /* strtod() alone would also take "inf", "0x10", and blanks in front. */
    size_t digits = strspn(text, "0123456789.");
    char number[32];
    if (digits == 0 || digits >= sizeof number) {
        return error_set(
            error, "", "'%.40s' is not a duration: wanted a number and a unit, such as 60s", text);
    }
    memcpy(number, text, digits);
    number[digits] = '\0';
    char *end = NULL;
    double value = strtod(number, &end);
    if (*end != '\0') {
        return error_set(error, "", "'%s' is not a number", number);
    }
    const char *unit = text + digits + strspn(text + digits, " ");
    if (*unit == '\0') {
        return error_set(error, "", "'%.40s' has no unit: wanted ms, s, min or h, such as %.20ss",
                         text, number);
    }
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        if (strcmp(unit, units[i].name) != 0) {
            continue;
        }
        double whole = value * units[i].ms + 0.5;
        if (!(whole >= 1 && whole < DURATION_MAX_MS + 1.0)) {
            return error_set(error, "", "'%.40s' is out of range: wanted 1 ms to 168 h", text);
        }
        *ms = (uint32_t)whole;
        return true;
    }
    return error_set(error, "", "'%.20s' is not a unit of time: wanted ms, s, min or h", unit);
}
