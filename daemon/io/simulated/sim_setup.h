/* sim_setup.h: the simulator's settings made whole and looked over before the world begins. */
#ifndef IO_SIM_SETUP_H
#define IO_SIM_SETUP_H

#include "base/error.h"
#include "core/data/setup.h"
#include "io/simulated/sim_faults.h"
#include "io/simulated/simulation_setup.h"

#include <stdbool.h>

/* Puts the defaults where simulation_setup.h promises them. */
void sim_setup_fill(struct simulation_setup *setup, const struct bridge_setup *bridge);

/* Whether the world can be simulated so; `error` says what is wrong first. */
bool sim_setup_check(const struct simulation_setup *setup, const struct bridge_setup *bridge,
                     struct error *error);

/* Switches fault number `number` of the setup on. */
bool sim_setup_fault(const struct simulation_setup *setup, unsigned tracks, unsigned number,
                     struct sim_faults *faults, struct error *error);

#endif
