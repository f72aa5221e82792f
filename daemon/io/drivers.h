/* drivers.h: every output driver, by its name. A driver is its own file and one row in drivers.c;
 * nothing but the table knows them all, so that a driver may use port.h without a circle. */
#ifndef IO_DRIVERS_H
#define IO_DRIVERS_H

#include "io/port.h"

/* Returns the driver of this name, or NULL. */
const struct port_ops *drivers_find(const char *name);

#endif
