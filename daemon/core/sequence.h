/* sequence.h: the order of an opening, as a table of state, guard, action and next state.
 *
 *   unproved -> proving            seated and locked
 *            -> open | held        proved to be elsewhere (hand-lifted: locking | raising)
 *   lined    -> unlocking          hand-lifted: the lock was opened
 *   clearing -> cutting            signals at stop, approach locking released, sections clear
 *            -> proving | held     trains did not clear in time: the opening is given up
 *                                  (hand-lifted, and unlocked meanwhile: unlocking)
 *   cutting  -> warning            sections proved dead; the horn begins
 *   warning  -> unlocking          horn and warning time over
 *   cutting, warning -> clearing   a train came, and the span still lies locked under it
 *   unlocking -> raising|lowering  lock proved withdrawn, S3 whole
 *   raising  -> open               open contact, or measured position
 *   open     -> warning            asked to lower (soon after a start: clearing first)
 *   lowering -> seating            in the slow zone before the seat
 *   seating  -> locking            seated, and the push is over
 *   locking  -> proving            lock proved
 *   proving  -> lined              rails proved, signals at stop; power and signals may come back
 *
 * From anywhere: held (a stop), fault (latched); see bridge.c. A new direction begins at clearing
 * again, so that everything is proved as it is now and not as it was. */
#ifndef CORE_SEQUENCE_H
#define CORE_SEQUENCE_H

#include "core/data/setup.h"
#include "core/data/state.h"
#include "core/interlock.h"

#include <stdbool.h>
#include <stdint.h>

/* Lets `dt_us` pass for the phase that it passed in: before faults are looked for, so that a
 * longest time acts in the step that ends it, and before a request enters a new phase, whose own
 * time begins only now. */
void sequence_pass_time(const struct bridge_setup *setup, struct bridge_state *state,
                        const struct sight *sight, uint32_t dt_us);

/* Takes at most one row of the table. Returns whether the phase changed. */
bool sequence_step(const struct bridge_setup *setup, struct bridge_state *state,
                   const struct sight *sight);

/* Puts the bridge into `phase` and starts its longest time; ends a jog, and a throttle's run where
 * there is nothing more to run. */
void sequence_enter(const struct bridge_setup *setup, struct bridge_state *state,
                    enum bridge_phase phase);

/* Ends a jog where it may not go on: S3 is not whole, or the span is open already. */
void sequence_check_jog(struct bridge_state *state, const struct sight *sight);

/* Where the lift shall go in this phase: 1 up, -1 down, 0 rest. */
int sequence_direction(const struct bridge_state *state);

/* The seating push is on: seated, and still driven. */
bool sequence_is_pushing(const struct bridge_state *state, const struct sight *sight);

#endif
