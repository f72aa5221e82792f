/* interlock.h: what is proved, what is allowed, and what is wrong. Pure.
 * Every output that could hurt passes one of the interlock_may_ functions in the step that puts it
 * out. */
#ifndef CORE_INTERLOCK_H
#define CORE_INTERLOCK_H

#include "core/data/inputs.h"
#include "core/data/outputs.h"
#include "core/data/setup.h"
#include "core/data/state.h"

#include <stdbool.h>

/* What this step's inputs prove. Each is a proof: false means not proved, not the contrary. */
struct sight {
    bool are_inputs_known; /* every input that the setup has gives a reading, debounced */
    bool is_seated;
    bool is_locked;
    bool is_withdrawn;
    bool is_open;
    bool are_rails_proved;
    bool are_signals_at_stop;
    bool is_released;         /* approach locking, everywhere */
    bool are_detectors_clear; /* those that there are */
    bool are_sections_clear;  /* and where there are none, time or a person's word says so */
    bool are_sections_dead;
    bool is_occupied; /* a train on a stop or span section, seen in this step */
};

struct sight interlock_look(const struct bridge_setup *setup, const struct bridge_state *state,
                            const struct bridge_inputs *inputs);

/* Seated, locked and rails proved: a train may run over the span as far as the span is concerned.
 */
bool interlock_is_span_proved(const struct sight *sight);

/* S2. */
bool interlock_may_power(const struct bridge_state *state, const struct sight *sight);
/* S1, as far as the span is concerned; the track adds power and clearance of each section. */
bool interlock_may_clear_signals(const struct bridge_state *state, const struct sight *sight);
/* S3. */
bool interlock_may_drive(const struct bridge_state *state, const struct sight *sight);
/* S4. */
bool interlock_may_withdraw(const struct bridge_state *state, const struct sight *sight);
bool interlock_may_lock(const struct bridge_state *state, const struct sight *sight);

/* Where the lock bar is driven in this step: as the phase wants it, as far as S4 lets it. */
enum lock_drive interlock_lock_command(const struct bridge_setup *setup,
                                       const struct bridge_state *state, const struct sight *sight);

/* What is wrong whatever the phase, and must be gone before a fault can be acknowledged: S5, S8, a
 * stop held in, proofs that failed. */
enum bridge_fault interlock_standing_fault(const struct bridge_setup *setup,
                                           const struct bridge_state *state,
                                           const struct bridge_inputs *inputs,
                                           const struct sight *sight);

/* What is wrong in this phase: proofs lost that it needs, its longest time over. */
enum bridge_fault interlock_phase_fault(const struct bridge_setup *setup,
                                        const struct bridge_state *state,
                                        const struct sight *sight);

#endif
