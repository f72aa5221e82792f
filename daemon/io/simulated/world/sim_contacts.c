#include "io/simulated/world/sim_contacts.h"

/* Made below its place, or above it (`sign` -1); breaks only beyond the hysteresis. */
static void follow(const struct simulation_contact *setup, bool *is_made, double frac,
                   double sign) {
    double beyond = sign * (frac - setup->makes_at_frac);
    *is_made = beyond <= (*is_made ? setup->hysteresis_frac : 0);
}

void sim_contacts_follow(const struct simulation_contacts *setup, struct sim_contacts *contacts,
                         double frac) {
    follow(&setup->seated, &contacts->seated, frac, 1);
    follow(&setup->nearly_seated, &contacts->nearly_seated, frac, 1);
    follow(&setup->nearly_open, &contacts->nearly_open, frac, -1);
    follow(&setup->open, &contacts->open, frac, -1);
    follow(&setup->within_travel, &contacts->within_travel, frac, 1);
    follow(&setup->rail, &contacts->rail, frac, 1);
}
