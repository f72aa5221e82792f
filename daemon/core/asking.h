/* asking.h: what a request does to a bridge, and the answer. Pure. A request changes goal and phase
 * only; whether and when anything moves, the sequence and the interlock decide. */
#ifndef CORE_ASKING_H
#define CORE_ASKING_H

#include "core/data/inputs.h"
#include "core/data/request.h"
#include "core/data/setup.h"
#include "core/data/state.h"
#include "core/interlock.h"

/* Ends the run of a throttle that has been let go, then answers. `found`: what is wrong in this
 * step: an acknowledgment would leave it behind, or end what nobody has seen yet. */
enum bridge_answer asking_step(const struct bridge_setup *setup, struct bridge_state *state,
                               const struct bridge_request *request, const struct sight *sight,
                               enum bridge_fault found);

/* Latches `fault` and drops everything the bridge was about to do. Keeps the first of several. */
void asking_latch_fault(const struct bridge_setup *setup, struct bridge_state *state,
                        enum bridge_fault fault);

#endif
