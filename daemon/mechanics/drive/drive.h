/* drive.h: the gears between motor and rack: motor - planetary - worm (or none) - pinion - rack.
 * Pure: no I/O, no allocation. SI units. Everything is counted in the sense the motor turns: lower
 * with the moment's sign turned round. Formulas: ratios and efficiencies of stages multiply, worm
 * by worm.h; derived for this project, checked by a power balance (tests, D9). */
#ifndef MECHANICS_DRIVE_H
#define MECHANICS_DRIVE_H

#include "mechanics/drive/worm.h"

#include <stdbool.h>

struct drive {
    double pinion_radius_m;      /* pitch radius; of a vertical lift the drum's radius */
    double planetary_ratio;      /* 1: none */
    double planetary_efficiency; /* all its stages together */
    bool has_worm;
    struct worm worm;
    double rack_efficiency; /* pinion on rack */
};

/* NULL, or what is wrong in words (static storage). All other functions expect a drive that passed.
 */
const char *drive_check(const struct drive *drive);

/* Motor turns for one turn of the pinion. */
double drive_ratio(const struct drive *drive);

/* Metres of rack for one radian of the motor. */
double drive_rack_per_motor_rad_m(const struct drive *drive);

/* Motor radians for one radian (metre, vertical) of the span, where the lift has this arm. */
double drive_motor_per_position(const struct drive *drive, double arm);

/* F = (M + friction + I a)/h: the force the rack must give, newtons, < 0: the span runs ahead. */
double drive_rack_force_n(double moment, double friction, double inertial, double arm);

/* Torque at the pinion's shaft for this rack force: friction helps where the span runs ahead. */
double drive_pinion_torque_n_m(const struct drive *drive, double rack_force_n);

/* Torque the motor must give for this rack force with this friction in the worm. Where the span
 * runs ahead it is > 0 through a worm that locks (the motor must still drive) and < 0 otherwise (it
 * must brake). mu_high gives the greatest. */
double drive_motor_torque_n_m(const struct drive *drive, double rack_force_n, double mu);

/* The worm holds the span by itself, even with its lowest friction. */
bool drive_is_locking(const struct drive *drive);

#endif
