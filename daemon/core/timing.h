/* timing.h: countdowns, watches and debouncing: how the core reckons time without a clock. */
#ifndef CORE_TIMING_H
#define CORE_TIMING_H

#include "core/data/level.h"
#include "core/data/state.h"

#include <stdbool.h>
#include <stdint.h>

/* The time since the last step: `us` of it have passed, for limits and faults; `seen_us` of that
 * count for evidence that must hold: what happened in a gap nobody saw. */
struct lapse {
    uint32_t us;
    uint32_t seen_us;
};

/* `late_us`: of bridge_inputs. */
struct lapse lapse_of(uint32_t dt_us, uint32_t late_us);

/* Nobody looked for so long that anything may have come and gone. */
bool lapse_is_gap(struct lapse lapse);

/* `left_us` after `dt_us` more; stops at zero. */
uint32_t countdown(uint32_t left_us, uint32_t dt_us);

/* Starts `watch` at `limit_us` when `condition` becomes true (the time before that does not count),
 * stops it when it becomes false. Returns whether the condition has held for `limit_us`. */
bool watch_step(struct watch *watch, bool condition, uint32_t limit_us, uint32_t dt_us);
bool watch_has_expired(const struct watch *watch);

/* Takes one reading; returns what is believed. A loss of the reading is believed at once; readings
 * of which none holds, after BRIDGE_UNSETTLED_MAX_US, are a loss, too. */
enum level debounce_step(struct debounced *contact, enum level reading, uint32_t hold_us,
                         struct lapse lapse);

/* What is believed of a contact is that it is made. */
bool debounce_is_on(const struct debounced *contact);

/* What a lasting watch is told of its condition. */
enum lasting {
    LASTING_CLEAR, /* disproved */
    LASTING_KEEP,  /* nobody can tell */
    LASTING_EASE,  /* away: disproved once it has been so for as long as the watch */
    LASTING_COUNT, /* there */
};

/* Returns whether the condition has been there for `limit_us`, pauses left out. */
bool lasting_step(struct lasting_watch *lasting, enum lasting told, uint32_t limit_us,
                  uint32_t dt_us);

/* The time until a countdown, watch or contact next changes by itself; UINT32_MAX: never. */
uint32_t countdown_wake_us(uint32_t left_us);
uint32_t watch_wake_us(const struct watch *watch);
uint32_t debounce_wake_us(const struct debounced *contact);
uint32_t sooner_us(uint32_t one_us, uint32_t other_us);

/* The sum; UINT32_MAX where that would not hold it. */
uint32_t added_us(uint32_t one_us, uint32_t other_us);

#endif
