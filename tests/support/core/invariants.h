/* invariants.h: S1 to S5 and S9 as predicates over what went in and what came out of the steps so
 * far, written down apart from the core's own code. */
#ifndef SUPPORT_INVARIANTS_H
#define SUPPORT_INVARIANTS_H

#include "support/core/seen.h"

/* Zero `seen` before the first step. Returns NULL, or the number and words of what was broken. */
const char *invariants_broken(struct seen *seen, const struct bridge_setup *setup,
                              const struct bridge_inputs *inputs,
                              const struct bridge_request *request, uint32_t dt_us,
                              const struct bridge_outputs *outputs);

#endif
