/* sim_lock.h: the bar of the span lock, 0 withdrawn to 1 driven. */
#ifndef IO_SIM_LOCK_H
#define IO_SIM_LOCK_H

#include "core/data/outputs.h"

#include <stdbool.h>

struct sim_lock {
    double driven_frac;
};

/* Moves as driven; the whole way takes `travel_s`. */
void sim_lock_step(struct sim_lock *lock, enum lock_drive drive, double travel_s, double dt_s);

bool sim_lock_is_moving(const struct sim_lock *lock, enum lock_drive drive);

/* Its two contacts. */
bool sim_lock_is_driven(const struct sim_lock *lock);
bool sim_lock_is_withdrawn(const struct sim_lock *lock);

#endif
