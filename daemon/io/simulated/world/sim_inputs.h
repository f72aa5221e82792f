/* sim_inputs.h: what the simulated world calls its levels, so that faults can reach each of them.
 */
#ifndef IO_SIM_INPUTS_H
#define IO_SIM_INPUTS_H

#include "core/words/lines.h"
#include "io/simulated/simulation_setup.h"

/* The name of the level with this number (core/words/lines.h), into `name`. `tracks` names the
 * tracks and their ends. */
void sim_inputs_name(const struct simulation_track *tracks, unsigned number,
                     char name[LINE_NAME_SIZE]);

#endif
