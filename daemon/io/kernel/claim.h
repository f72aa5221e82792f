/* claim.h: a device that this program alone drives. */
#ifndef IO_CLAIM_H
#define IO_CLAIM_H

#include "base/error.h"

/* Opens the device's file with these flags of open(2), O_CLOEXEC added, and claims it for as long
 * as the descriptor is open: a second daemon, started by mistake, must not write to the outputs of
 * the first. The kernel lets go of it when the program dies, however that happens. Advisory
 * (flock(2)): others are kept off only if they claim it, too. Returns the descriptor, for the
 * caller to close; or -1, and fills `error`, where it cannot be opened or is claimed. */
int claim(const char *file, int flags, struct error *error);

#endif
