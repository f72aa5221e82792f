/* simulated.h: the driver "simulated": a make-believe bridge (sim.h) behind the table of port.h. */
#ifndef IO_SIMULATED_H
#define IO_SIMULATED_H

#include "io/port.h"

#include <stdbool.h>

struct sim;

/* Reads a struct simulation_setup. */
extern const struct port_ops simulated_ops;

/* For tests: the world behind the port; owned by the port. */
const struct sim *simulated_world(const void *port);

#endif
