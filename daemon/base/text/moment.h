/* moment.h: a moment as people write it, in local time: "2026-03-01T12:00:05". */
#ifndef BASE_MOMENT_H
#define BASE_MOMENT_H

#include "base/error.h"

#include <stdbool.h>
#include <stdint.h>

enum { MOMENT_SIZE = 32 };

/* Takes a day, or a day with hours and minutes, or with seconds too. Returns false, fills `error`
 * and leaves `at_us` (microseconds since the Unix epoch) for anything else. */
bool moment_parse(const char *text, uint64_t *at_us, struct error *error);

/* To the thousandth of a second. */
void moment_write(uint64_t at_us, char text[MOMENT_SIZE]);

#endif
