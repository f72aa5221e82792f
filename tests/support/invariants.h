/* invariants.h: S1 to S5 and S9 as predicates over what went in and what came out of the steps so
 * far, written down apart from the core's own code. */
#ifndef SUPPORT_INVARIANTS_H
#define SUPPORT_INVARIANTS_H

#include "core/bridge.h"

/* A section that must be seen clear for a while. */
struct judged_section {
    bool was_clear;
    uint32_t clear_for_us;
};

/* A contact that must hold for a while before it is believed. */
struct judged_contact {
    enum level reading;
    enum level believed;
    uint32_t held_for_us;
};

/* What must be remembered from step to step to judge the next one. */
struct invariants {
    bool has_begun;
    bool is_distrusted;           /* S5: the inputs of the last step cannot be trusted */
    struct bridge_outputs before; /* outputs of the step before; zero at the start */
    struct judged_contact seated, locked, withdrawn, open, nearly_seated, nearly_open;
    struct judged_contact rail[BRIDGE_RAILS_MAX];
    struct judged_section approach[BRIDGE_TRACKS_MAX][TRACK_ENDS];
    struct judged_section stop[BRIDGE_TRACKS_MAX][TRACK_ENDS];
    struct judged_section span[BRIDGE_TRACKS_MAX];
    uint32_t lock_left_us[BRIDGE_TRACKS_MAX][TRACK_ENDS]; /* approach locking */
    bool was_doubtful[BRIDGE_TRACKS_MAX][TRACK_ENDS];     /* whether the signal is at stop */
};

/* Zero `judge` before the first step. Returns NULL, or the number and words of what was broken. */
const char *invariants_broken(struct invariants *judge, const struct bridge_setup *setup,
                              const struct bridge_inputs *inputs,
                              const struct bridge_request *request, uint32_t dt_us,
                              const struct bridge_outputs *outputs);

#endif
