/* timing.h: countdowns, watches and debouncing: how the core reckons time without a clock. */
#ifndef CORE_TIMING_H
#define CORE_TIMING_H

#include "core/level.h"
#include "core/state.h"

#include <stdbool.h>
#include <stdint.h>

/* `left_us` after `dt_us` more; stops at zero. */
uint32_t countdown(uint32_t left_us, uint32_t dt_us);

/* Starts `watch` at `limit_us` when `condition` becomes true (the time before that does not count),
 * stops it when it becomes false. Returns whether the condition has held for `limit_us`. */
bool watch_step(struct watch *watch, bool condition, uint32_t limit_us, uint32_t dt_us);
bool watch_has_expired(const struct watch *watch);

/* Takes one reading; returns what is believed. A loss of the reading is believed at once; readings
 * of which none holds, after BRIDGE_UNSETTLED_MAX_US, are a loss, too. */
enum level debounce_step(struct debounced *contact, enum level reading, uint32_t hold_us,
                         uint32_t dt_us);

/* The time until a countdown, watch or contact next changes by itself; UINT32_MAX: never. */
uint32_t countdown_wake_us(uint32_t left_us);
uint32_t watch_wake_us(const struct watch *watch);
uint32_t debounce_wake_us(const struct debounced *contact);
uint32_t sooner_us(uint32_t one_us, uint32_t other_us);

#endif
