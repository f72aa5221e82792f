/* duration.h: a length of time as people write it: "60s", "1.5 min", "500 ms", "2h". */
#ifndef TOOLS_DRAWTENDER_DURATION_H
#define TOOLS_DRAWTENDER_DURATION_H

#include "base/error.h"

#include <stdbool.h>
#include <stdint.h>

enum { DURATION_MAX_MS = 7 * 24 * 3600 * 1000 };

/* Takes 1 ms to DURATION_MAX_MS, rounded to the millisecond. A number without a unit is an error
 * that says so. Returns false, fills `error` and leaves `ms` for anything else. */
bool duration_parse(const char *text, uint32_t *ms, struct error *error);

#endif
