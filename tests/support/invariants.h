/* invariants.h: S1 to S4 as predicates over what went in and what came out of one step, written
 * down apart from the core's own code. For setups without debouncing and with clear_us as given. */
#ifndef SUPPORT_INVARIANTS_H
#define SUPPORT_INVARIANTS_H

#include "core/bridge.h"

/* What must be remembered from step to step to judge the next one. */
struct invariants {
    struct bridge_outputs before; /* outputs of the step before; zero at the start */
    uint32_t stop_clear_for_us[BRIDGE_TRACKS_MAX][TRACK_ENDS];
    uint32_t span_clear_for_us[BRIDGE_TRACKS_MAX];
    uint32_t lock_left_us[BRIDGE_TRACKS_MAX][TRACK_ENDS]; /* approach locking, reckoned apart */
    bool was_clear[BRIDGE_TRACKS_MAX][TRACK_ENDS + 1];
};

/* Zero `judge` before the first step. Returns NULL, or the number and words of what was broken. */
const char *invariants_broken(struct invariants *judge, const struct bridge_setup *setup,
                              const struct bridge_inputs *inputs,
                              const struct bridge_request *request, uint32_t dt_us,
                              const struct bridge_outputs *outputs);

#endif
