/* target.h: what `wait` waits for. Pure. */
#ifndef TOOLS_DRAWTENDER_TARGET_H
#define TOOLS_DRAWTENDER_TARGET_H

#include "base/error.h"
#include "tools/drawtender/client/picture.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct target {
    const char *phase;     /* NULL: a device */
    enum srcp_group group; /* SRCP_FB or SRCP_GA */
    int32_t address, value;
    unsigned port;
};

/* lined|open|held|fault; FB <address> [<value>]; GA <address> <port> [<value>]. The value is 1 if
 * none is given. Returns false and fills `error`. */
bool target_parse(size_t words, const char *const word[], struct target *target,
                  struct error *error);

/* Whether the bridge has it at all: a device that was never told of is not there. */
bool target_exists(const struct target *target, const struct picture *picture);

bool target_is_reached(const struct target *target, const struct picture *picture);

/* A phase that a faulted bridge cannot come to before somebody acknowledges. */
bool target_is_barred(const struct target *target, const struct picture *picture);

#endif
