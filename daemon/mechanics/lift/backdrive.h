/* backdrive.h: whether the drive holds the span while the motor is off, judged by all of its parts.
 * Pure: no I/O, no allocation. SI units; positions as in lift.h.
 *
 * Gravity's moment less the trunnion's friction goes through rack, worm and gears to the motor's
 * shaft, where the motor's own friction and a brake resist it (drive.h, worm.h: the span drives, so
 * that losses help). All friction counts with its least, and divided by `ease`: vibration lowers
 * friction, nobody knows by how much. The margin is the greatest ease at which the span still
 * stands everywhere. Of a worm alone that is worm_lock_margin(); of a brake alone its torque by
 * gravity's. A shorted motor only slows: its torque is Ke Kt w/R. */
#ifndef MECHANICS_BACKDRIVE_H
#define MECHANICS_BACKDRIVE_H

#include "mechanics/lift/chain.h"

/* The first part, from the span to the motor, past which nothing turns. */
enum backdrive_part {
    BACKDRIVE_NOTHING,
    BACKDRIVE_TRUNNION,
    BACKDRIVE_WORM,
    BACKDRIVE_MOTOR,
    BACKDRIVE_BRAKE,
};

/* What resists at the motor's shaft at rest. */
struct backdrive_stop {
    double motor_n_m; /* brushes and cogging */
    double brake_n_m; /* 0: none */
};

/* The moment on the span, N m (a force, vertical), at which the drive just begins to turn, the
 * trunnion's friction included, all friction as it is; INFINITY: the worm locks. */
double backdrive_held_n_m(const struct chain *chain, const struct backdrive_stop *stop,
                          double position);

/* What part of its no-load torque a motor holds with at rest, where nobody measured it: brushes and
 * cogging do, air and iron losses do not (a judgement, no source). */
#define BACKDRIVE_MOTOR_SHARE 0.5

/* What the span turns the motor's shaft with, either way, all friction divided by `ease`; 0: it is
 * held before it. */
double backdrive_torque_n_m(const struct chain *chain, double position, double ease);

/* Margins are looked for from 1/BACKDRIVE_MARGIN_MOST on; INFINITY: greater than that. */
#define BACKDRIVE_MARGIN_MOST 1000.0

struct backdrive {
    double margin;
    enum backdrive_part by; /* at ease 1 */
    double position;        /* where it moves first */
    double torque_n_m;      /* there, at the shaft, ease 1 */
    double shorted_speed; /* there, of the span with the motor shorted and no brake; 0: it holds */
};

/* Gravity does not turn a swing span: there it says what a push at its end would meet, which only a
 * worm or a brake withstand. */
struct backdrive backdrive_of(const struct chain *chain, const struct backdrive_stop *stop);

#endif
