/* track.h: sections, home signals and approach locking of all tracks of a bridge.
 * Pure. An absent detector tells nothing: its approach counts as occupied, its stop or span section
 * as clear here; unwatched.h has what stands for it. A signal or power without a proof counts as
 * proved once told so for the longest time in which a proof would have come. */
#ifndef CORE_TRACK_H
#define CORE_TRACK_H

#include "core/data/inputs.h"
#include "core/data/outputs.h"
#include "core/data/setup.h"
#include "core/data/state.h"
#include "core/timing.h"

#include <stdbool.h>
#include <stdint.h>

/* After a start a train may still be running on a signal that showed proceed before it: approach
 * locking begins at its full time (S6). */
void track_start(const struct bridge_setup *setup, struct bridge_state *state);

/* Takes in this step's readings: occupation, clearing, approach locking, proofs of signal and
 * power. */
void track_observe(const struct bridge_setup *setup, struct bridge_state *state,
                   const struct bridge_inputs *inputs, struct lapse lapse);

/* Decides power and signals for this step and starts approach locking where a signal is put to stop
 * in the face of a train. `may_power`, `may_clear`: the interlock's leave (S2, S1). A train seen in
 * one approach of a track puts the opposing home signal to stop. */
void track_command(const struct bridge_setup *setup, struct bridge_state *state,
                   const struct bridge_inputs *inputs, bool may_power, bool may_clear,
                   struct bridge_outputs *outputs);

struct track_place {
    unsigned track;
    unsigned end;
};

/* About all tracks together, as of this step. The first place where it is not so goes to `where`.
 */
bool track_all_signals_at_stop(const struct bridge_setup *setup, const struct bridge_state *state,
                               const struct bridge_inputs *inputs, struct track_place *where);
bool track_all_released(const struct bridge_setup *setup, const struct bridge_state *state,
                        struct track_place *where);
bool track_all_stop_clear(const struct bridge_setup *setup, const struct bridge_state *state,
                          struct track_place *where);
bool track_all_span_clear(const struct bridge_setup *setup, const struct bridge_state *state,
                          struct track_place *where);
bool track_all_dead(const struct bridge_setup *setup, const struct bridge_state *state,
                    const struct bridge_inputs *inputs, struct track_place *where);

/* No section to which power was put out before this step is proved dead: else its fuse or feeder.
 */
bool track_all_live(const struct bridge_setup *setup, const struct bridge_state *state,
                    const struct bridge_inputs *inputs, struct track_place *where);

/* About one track, as of this step: its home signals are believed at stop; a train has moved on
 * from an approach, or its detector has flickered; a stop or span section is seen occupied; its
 * sections have had power since the last step, and none is proved dead. */
bool track_is_at_stop(const struct bridge_setup *setup, const struct bridge_state *state,
                      const struct bridge_inputs *inputs, unsigned track);
bool track_is_approach_just_left(const struct bridge_state *state, unsigned track);
bool track_is_seen_occupied(const struct bridge_state *state, unsigned track);
bool track_has_power(const struct bridge_setup *setup, const struct bridge_state *state,
                     const struct bridge_inputs *inputs, unsigned track);

/* Any stop or span section seen occupied in this step: at once, where "clear" takes time. */
bool track_is_occupied(const struct bridge_setup *setup, const struct bridge_state *state);

/* A signal, or a section's power, has stayed unproved past the proof limit. */
bool track_signal_failed(const struct bridge_setup *setup, const struct bridge_state *state);
bool track_power_failed(const struct bridge_setup *setup, const struct bridge_state *state);

/* Every detector and feedback that the setup has gives a reading. */
bool track_inputs_known(const struct bridge_setup *setup, const struct bridge_state *state,
                        const struct bridge_inputs *inputs);

/* The time until a timer of any track runs out; 0: power has just come, and signals may follow;
 * UINT32_MAX: none runs. */
uint32_t track_wake_us(const struct bridge_setup *setup, const struct bridge_state *state);

#endif
