/* lengths.h: how long things take, and how the span moves: judged where time is real (clocked.h),
 * with clocks of its own over what went in and what came out. */
#ifndef PROVE_LENGTHS_H
#define PROVE_LENGTHS_H

#include "prove/judges/judged.h"

enum { LENGTHS_BLASTS_MAX = 6 };

/* What must be remembered from step to step. All times count from the step that began them. */
struct lengths {
    uint32_t phase_us;
    uint32_t signal_missing_us,
        power_missing_us; /* a proof that should be there; +1: it is missing */
    uint32_t blast_us;    /* the horn sounds or is silent for so long */
    uint32_t blasts[2];   /* heard whole in this warning: short, prolonged */
    uint32_t pushed_us;
    uint32_t jog_left_us;
    uint32_t throttle_left_us;
    double throttle_share; /* as last asked for; 0: what is driven is not run by hand */
    uint32_t stalled_us;   /* driven with too much current */
    uint32_t stuck_us[2];  /* driven up [0], down [1], without movement since from_frac */
    double from_frac[2];
    uint32_t paused_us; /* not driven */
    int last_driven;
    bool is_fresh[2];     /* it has moved since it was last started that way */
    int was_driven;       /* 1 up, -1 down */
    bool was_high;        /* the current */
    bool has_gone;        /* in this step, since from_frac */
    uint32_t rested_us;   /* not driven, and to be held still */
    double rest_frac;     /* where it came to rest */
    double position_frac; /* as read in the step before */
    double faster_frac_s; /* as last commanded at most */
    bool has_moved;       /* position_frac is a reading */
    bool was_horn;
};

/* Returns NULL, or the words of what was broken. Zero `lengths` at each start. */
const char *lengths_broken(struct lengths *lengths, const struct judged *j);

/* Stops those clocks that have reached what they are compared with, so that there are few states.
 */
void lengths_cap(const struct bridge_setup *setup, enum bridge_phase phase,
                 struct lengths *lengths);

#endif
