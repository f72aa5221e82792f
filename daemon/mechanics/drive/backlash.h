/* backlash.h: the play of all gears together, seen at the rack. Pure: no I/O, no allocation.
 *
 * Each stage's play is divided by what follows it on the way to the rack, and all are added: the
 * worst case (kinematics). The span falls through it where its balance changes sides, and a hand
 * can move it by so much. */
#ifndef MECHANICS_BACKLASH_H
#define MECHANICS_BACKLASH_H

#include "mechanics/drive/drive.h"

struct backlash {
    double gearbox_rad; /* of the gearbox's slow shaft, the motor held */
    double worm_rad;    /* of the worm's wheel, the worm held */
    double rack_m;      /* along the pitch line, the pinion held */
};

double backlash_at_rack_m(const struct drive *drive, const struct backlash *backlash);

#endif
