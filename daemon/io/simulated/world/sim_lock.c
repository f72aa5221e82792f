#include "io/simulated/world/sim_lock.h"

#include <math.h>

/* The end contacts make this near the ends. */
static const double contact_frac = 0.02;

static double target(const struct sim_lock *lock, enum lock_drive drive) {
    switch (drive) {
    case LOCK_DRIVE_REST:
        break;
    case LOCK_DRIVE_DRIVEN:
        return 1;
    case LOCK_DRIVE_WITHDRAWN:
        return 0;
    }
    return lock->driven_frac;
}

void sim_lock_step(struct sim_lock *lock, enum lock_drive drive, double travel_s, double dt_s) {
    double left = target(lock, drive) - lock->driven_frac;
    double step = dt_s / travel_s;
    lock->driven_frac += fabs(left) <= step ? left : copysign(step, left);
}

bool sim_lock_is_moving(const struct sim_lock *lock, enum lock_drive drive) {
    return target(lock, drive) != lock->driven_frac;
}

bool sim_lock_is_driven(const struct sim_lock *lock) {
    return lock->driven_frac >= 1 - contact_frac;
}

bool sim_lock_is_withdrawn(const struct sim_lock *lock) {
    return lock->driven_frac <= contact_frac;
}
