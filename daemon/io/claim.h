/* claim.h: a device that this program alone drives. */
#ifndef IO_CLAIM_H
#define IO_CLAIM_H

#include "base/error.h"

#include <stdbool.h>

/* Claims the open file of a device for as long as `fd` is open: a second daemon, started by
 * mistake, must not write to the outputs of the first. The kernel lets go of it when the program
 * dies, however that happens. Advisory (flock(2)): others are kept off only if they claim it, too.
 * Returns false and fills `error` where it is taken. */
bool claim(int fd, const char *where, struct error *error);

#endif
