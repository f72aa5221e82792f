/* sim_contacts.h: contacts along the span's travel, with hysteresis. Places are fractions of the
 * travel. */
#ifndef IO_SIM_CONTACTS_H
#define IO_SIM_CONTACTS_H

#include "io/simulated/simulation_setup.h"

#include <stdbool.h>

struct sim_contacts {
    bool seated, nearly_seated, nearly_open, open, within_travel, rail;
};

/* Follows the span to `frac`. */
void sim_contacts_follow(const struct simulation_contacts *setup, struct sim_contacts *contacts,
                         double frac);

#endif
