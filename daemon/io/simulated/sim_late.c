#include "io/simulated/sim_late.h"

static void follow(struct sim_late *late, unsigned input, bool was_late, enum level reading,
                   uint64_t now_us) {
    if (!was_late) {
        late->seen[input] = reading;
        late->shown[input] = reading;
    }
    if (reading != late->seen[input]) {
        late->seen[input] = reading;
        late->shows_at_us[input] = now_us + SIM_LATE_US;
    }
    if (now_us >= late->shows_at_us[input]) {
        late->shown[input] = late->seen[input];
    }
}

void sim_late_follow(struct sim_late *late, const struct sim_faults *faults,
                     struct bridge_inputs *inputs, uint64_t now_us) {
    for (unsigned i = 0; sim_faults_reach(faults->on[SIM_CONTACT_LATE], i); i++) {
        if (sim_faults_is_on(faults, SIM_CONTACT_LATE, i)) {
            follow(late, i, (late->was_late >> i & 1) != 0, *lines_level(inputs, i), now_us);
        }
    }
    late->was_late = faults->on[SIM_CONTACT_LATE];
}

uint64_t sim_late_due_us(const struct sim_late *late) {
    uint64_t due_us = UINT64_MAX;
    for (unsigned i = 0; sim_faults_reach(late->was_late, i); i++) {
        bool is_under_way = (late->was_late >> i & 1) != 0 && late->shown[i] != late->seen[i];
        if (is_under_way && late->shows_at_us[i] < due_us) {
            due_us = late->shows_at_us[i];
        }
    }
    return due_us;
}
