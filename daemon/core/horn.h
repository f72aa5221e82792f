/* horn.h: the bridge's sound signals. 33 CFR 117.15(b): opening, one prolonged and one short blast;
 * closing, five short blasts. Lengths: 33 CFR 83.32, set in the setup. */
#ifndef CORE_HORN_H
#define CORE_HORN_H

#include "core/data/setup.h"
#include "core/data/state.h"

#include <stdbool.h>
#include <stdint.h>

void horn_start(const struct bridge_setup *setup, struct horn_state *horn, enum horn_signal signal);

/* Advances the signal; one blast or gap at most ends in a step. */
void horn_step(const struct bridge_setup *setup, struct horn_state *horn, uint32_t dt_us);

bool horn_sounds(const struct horn_state *horn);

#endif
