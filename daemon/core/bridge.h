/* bridge.h: the whole bridge as one pure function.
 * bridge_step() decides everything and touches nothing: no clock, no I/O, no allocation. To
 * find out what happened, compare two states. The invariants S1 to S10 are in DEVELOPERS.md.
 */
#ifndef CORE_BRIDGE_H
#define CORE_BRIDGE_H

#include "core/data/inputs.h"
#include "core/data/outputs.h"
#include "core/data/request.h"
#include "core/data/setup.h"
#include "core/data/state.h"

#include <stdbool.h>
#include <stdint.h>

/* The state after any start: unproved, nothing remembered (S6). The setup must be sound
 * (bridge_setup_fault() returns NULL); the other functions take the same setup every time. */
void bridge_start(const struct bridge_setup *setup, struct bridge_state *state);

/* One cycle: `dt_us` is the time since the last step. Outputs are written whole. The answer is for
 * `request`. A step may leave the phase one short of where it will come to rest: step again at once
 * with dt_us 0 and no request while the phase changes. */
enum bridge_answer bridge_step(const struct bridge_setup *setup, struct bridge_state *state,
                               const struct bridge_inputs *inputs,
                               const struct bridge_request *request, uint32_t dt_us,
                               struct bridge_outputs *outputs);

/* The longest time that may pass until the next step if no input changes, LOOK_PERIOD_US at most;
 * UINT32_MAX: no timer runs. */
uint32_t bridge_wake_us(const struct bridge_setup *setup, const struct bridge_state *state);

/* What the bridge waits for, for people. `inputs` are those of the last step. */
struct bridge_waiting bridge_waiting(const struct bridge_setup *setup,
                                     const struct bridge_state *state,
                                     const struct bridge_inputs *inputs);

/* Lined for rail: seated, locked and rails proved, and in PHASE_LINED. */
bool bridge_is_lined(const struct bridge_state *state);

/* The lift is being driven, by these outputs. */
bool bridge_is_moving(const struct bridge_outputs *outputs);

/* How fast it moves, in parts of the travel a second: measured where that is, else as commanded;
 * negative while it lowers, 0 while it is not driven. */
double bridge_speed_frac_s(const struct bridge_setup *setup, const struct bridge_state *state,
                           const struct bridge_outputs *outputs);

/* A hand runs it by a throttle, and the bridge goes slower here than it asks; told, and never used
 * to decide. */
bool bridge_is_slowed(const struct bridge_setup *setup, const struct bridge_state *state);

/* Whether `motion.position_frac` says where the span is. One lifted by hand is known at its
 * contacts alone: nobody knows how far a hand has moved it. */
bool bridge_is_position_known(const struct bridge_setup *setup, const struct bridge_state *state);

/* Whether the span is fully open, as proved: by its contact, or by its position where it has none
 * (bridge_setup_fault() sees to that). */
enum level bridge_open_level(const struct bridge_setup *setup, const struct bridge_state *state);

/* Whether the interlock itself holds a home signal at stop, or the span where it is (the reason why
 * a request for it would not show at once). */
bool bridge_holds_signal(const struct bridge_state *state, unsigned track, unsigned end);
bool bridge_holds_span(const struct bridge_state *state);

#endif
