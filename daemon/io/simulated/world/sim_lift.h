/* sim_lift.h: motor, gears and leaf of the simulated bridge, as one thing that turns: the drive is
 * taken as stiff and without backlash, so that the motor's speed says all.
 *
 *     J dw/dt = Kt (I - I0 sign w) - T_load,   I = (V - Ke w) / R,   J = J_rotor + J_leaf / n^2
 *
 * n = dmotor/dposition = ratio x arm(position) / pinion radius. T_load is the leaf's moment and its
 * friction through the drive, efficiencies and a worm's locking included. The change of n along the
 * travel is left out of the acceleration (the leaf takes seconds, the motor milliseconds), and so
 * are the efficiencies for the leaf's own inertia.
 *
 * Within one step T_load is constant and the equation linear; it is solved exactly, w going to its
 * end value as exp(-t/tau), tau = J R / (Kt Ke), some 30 ms. Hence no step is too long to be
 * stable, and one of 5 ms is close: the load alone is taken as it was at the step's begin.
 */
#ifndef IO_SIM_LIFT_H
#define IO_SIM_LIFT_H

#include "io/simulated/simulation_setup.h"

#include <stdbool.h>

struct sim_lift {
    double position;    /* rad; m for a vertical lift */
    double motor_rad_s; /* positive raises */
};

/* What acts on it during a step. */
struct sim_lift_drive {
    double volts; /* at the motor, positive raises; 0 V is a short circuit, as of a bridge driver */
    bool is_circuit_open;
    bool is_braked;
    bool is_slipping; /* the pinion turns without the leaf */
    double lowest;    /* stops: positions the leaf cannot pass */
    double highest;
};

void sim_lift_step(const struct simulation_lift *setup, struct sim_lift *lift,
                   const struct sim_lift_drive *drive, double dt_s);

/* Whether it turns, or is about to. */
bool sim_lift_is_moving(const struct simulation_lift *setup, const struct sim_lift *lift,
                        const struct sim_lift_drive *drive);

/* The motor's current, A, as a sensor in its lead shows it: without sign. */
double sim_lift_current_a(const struct simulation_lift *setup, const struct sim_lift *lift,
                          const struct sim_lift_drive *drive);

#endif
