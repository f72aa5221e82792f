/* lock.h: whether the lock bar is where it must be: by its contacts, or, where one is missing, by
 * how long its drive has been put out. Pure. A span without a bar is locked by its seat alone. */
#ifndef CORE_LOCK_H
#define CORE_LOCK_H

#include "core/data/outputs.h"
#include "core/data/setup.h"
#include "core/data/state.h"
#include "core/timing.h"

#include <stdbool.h>
#include <stdint.h>

/* Takes in how long the drive has been put out. `state->contacts` as believed in this step. */
void lock_observe(const struct bridge_setup *setup, struct bridge_state *state, struct lapse lapse);

/* Remembers what is put out in this step: its time begins now. */
void lock_put_out(const struct bridge_setup *setup, struct bridge_state *state,
                  enum lock_drive drive);

bool lock_is_locked(const struct bridge_setup *setup, const struct bridge_state *state);
bool lock_is_withdrawn(const struct bridge_setup *setup, const struct bridge_state *state);

/* That the bar is locked has no contact of its own: the time of its drive stands for it. */
bool lock_is_locked_by_time(const struct bridge_setup *setup);

/* Forgets what time stands for: a fault is acknowledged, a lost device among them, and somebody may
 * have moved the bar. */
void lock_forget(struct bridge_state *state);

/* The longest time of the bar's travel, to locked or to withdrawn; 0: none, as for a hand's work
 * and where there is no bar. Twice the drive's own where its whole time is what proves it. */
uint32_t lock_driving_limit_us(const struct bridge_setup *setup);
uint32_t lock_withdrawing_limit_us(const struct bridge_setup *setup);

/* The time until that of the drive is over; UINT32_MAX: none runs. */
uint32_t lock_wake_us(const struct bridge_state *state);

#endif
