/* motion.h: where the span is, how hard the lift is driven, and when its movement is wrong.
 * Pure. Travel in fractions: 0 seated, 1 open. */
#ifndef CORE_MOTION_H
#define CORE_MOTION_H

#include "core/data/inputs.h"
#include "core/data/setup.h"
#include "core/data/state.h"

#include <stdbool.h>
#include <stdint.h>

/* How often a moving span must be looked at. */
enum { MOTION_PERIOD_US = 10000 };

/* Takes in this step's position, or estimates it from the commanded speed; end contacts anchor an
 * estimate. `contacts` as believed in this step. */
void motion_observe(const struct motion_setup *setup, struct motion_state *motion,
                    const struct bridge_contacts *contacts, const struct bridge_inputs *inputs,
                    uint32_t dt_us);

/* What the lift is at in this step. */
struct motion_duty {
    bool is_pushing;    /* the seating push: it stalls the motor on purpose */
    bool is_held_still; /* wherever it is */
    bool is_jogged;     /* now and then, by hand */
    bool is_throttled;  /* by hand, and maybe slower than creep */
};

/* The watch that trips in this step, or FAULT_NONE: stall, binding (more current than this place of
 * the way needs), no movement, overspeed and overtravel while driven, drift while held still.
 * Stall and no movement outlast a rest that is shorter than they are, and any rest between jogs: a
 * hand that taps must not hold a stalled motor. */
enum bridge_fault motion_watch(const struct bridge_setup *setup, struct motion_state *motion,
                               const struct bridge_contacts *contacts,
                               const struct bridge_inputs *inputs, const struct motion_duty *duty,
                               uint32_t dt_us);

/* Lets stall, binding and no-movement begin anew: somebody has acknowledged a fault. */
void motion_forget_watches(struct motion_state *motion);

/* The effort (-1..1) for this step towards `direction` (1 raise, -1 lower, 0 rest): ramps, full
 * speed, slow zone, creep. Creep all the way while the position is not known. */
double motion_command(const struct motion_setup *setup, struct motion_state *motion, int direction,
                      uint32_t dt_us);

/* The same for a jog: never faster than creep, never harder than `effort_most` where that is above
 * 0. */
double motion_creep(const struct motion_setup *setup, struct motion_state *motion, int direction,
                    double effort_most, uint32_t dt_us);

/* The same for a throttle: no faster than it asks, and no harder where it sets the voltage. The
 * profile bounds it, too. */
double motion_follow(const struct motion_setup *setup, struct motion_state *motion, int direction,
                     const struct throttle_state *throttle, uint32_t dt_us);

/* Whether the profile wants less here than the throttle asks: slow zone, or place not known. */
bool motion_is_slowed(const struct motion_setup *setup, const struct motion_state *motion,
                      int direction, const struct throttle_state *throttle);

/* How much of `dt_us` counts against a longest time that full speed needs at most: less where a
 * throttle asks for less, never less than THROTTLE_SHARE_LEAST of it. Rounds up. */
uint32_t motion_counted_us(const struct motion_setup *setup, const struct throttle_state *throttle,
                           uint32_t dt_us);

/* Fully open, or in the slow zone before the seat, as far as position and contacts tell. */
bool motion_is_open(const struct bridge_setup *setup, const struct motion_state *motion,
                    const struct bridge_contacts *contacts);
bool motion_is_near_seat(const struct bridge_setup *setup, const struct motion_state *motion,
                         const struct bridge_contacts *contacts);

#endif
