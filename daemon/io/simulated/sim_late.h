/* sim_late.h: inputs that show a change only a while after it came. */
#ifndef IO_SIM_LATE_H
#define IO_SIM_LATE_H

#include "core/data/inputs.h"
#include "core/words/lines.h"
#include "io/simulated/sim_faults.h"

#include <stdint.h>

struct sim_late {
    uint64_t was_late; /* a bit for each input that was late already */
    enum level seen[LINES_LEVELS];
    enum level shown[LINES_LEVELS];
    uint64_t shows_at_us[LINES_LEVELS]; /* when what was seen is shown */
};

/* Takes the true readings at `now_us`. A contact that has just become late shows what it then read.
 */
void sim_late_follow(struct sim_late *late, const struct sim_faults *faults,
                     struct bridge_inputs *inputs, uint64_t now_us);

/* When the next change shows; UINT64_MAX: none is under way. */
uint64_t sim_late_due_us(const struct sim_late *late);

#endif
