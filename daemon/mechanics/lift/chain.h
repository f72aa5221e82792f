/* chain.h: leaf, lift, gears and motor as one: what the motor must give where, and which way.
 * Pure: no I/O, no allocation. SI units; positions as in lift.h.
 *
 * F_rack = (M + friction + I a)/h, through the gears to the motor, whose rotor is accelerated too;
 * lowering with the moment's sign turned round (drive.h). The motor turns evenly while the lever
 * arm changes: "full speed" is that of the span where it is fastest, at the least arm. */
#ifndef MECHANICS_CHAIN_H
#define MECHANICS_CHAIN_H

#include "mechanics/balance/balance.h"
#include "mechanics/drive/drive.h"
#include "mechanics/drive/motor.h"
#include "mechanics/lift/lift.h"

/* Each part passed its own check. */
struct chain {
    struct lift lift;
    struct balance balance;
    struct drive drive;
    struct motor motor;
    double supply_v;
    double rotor_inertia_kg_m2;
    double friction_running; /* of the trunnion: N.m; N for a vertical lift */
    double friction_static;  /* from rest */
};

enum { CHAIN_UP = 1, CHAIN_DOWN = -1 };

/* How much friction: running with the least and the most of the worm, and the most from rest. */
enum chain_friction { CHAIN_LEAST, CHAIN_MOST, CHAIN_FROM_REST };

/* A movement at one place. */
struct chain_move {
    double position;
    int way; /* CHAIN_UP, CHAIN_DOWN */
    enum chain_friction friction;
    double acceleration; /* of the span in its way, rad/s2 (m/s2); < 0 slows */
};

/* At the motor's shaft, in the sense it turns; < 0: it must brake. */
double chain_torque_n_m(const struct chain *chain, const struct chain_move *move);
double chain_current_a(const struct chain *chain, const struct chain_move *move);
/* At the motor, for it to turn so fast (>= 0). */
double chain_voltage_v(const struct chain *chain, const struct chain_move *move,
                       double motor_rad_s);

/* The least lever arm over the travel, and where. Found in steps of 1/CHAIN_STEPS of the travel. */
enum { CHAIN_STEPS = 64 };
double chain_least_arm(const struct chain *chain, double *position);

/* Motor speed at which the span runs at `full_speed` where it is fastest. */
double chain_motor_rad_s(const struct chain *chain, double full_speed);

/* What the lift needs along its travel, both ways. */
struct chain_demand {
    double start_v;         /* greatest, to keep turning slowly with the most friction */
    double break_v;         /* greatest, from rest */
    double full_least_v;    /* least that makes full speed somewhere */
    double full_most_v;     /* greatest at that motor speed */
    double torque_n_m;      /* greatest, from rest and under way while it speeds up */
    double torque_position; /* there */
    int torque_way;
    double current_a; /* for it */
};
/* `acceleration` of the span in its way where its arm is least: the motor speeds up evenly, and the
 * span gains less where the arm is longer. What the change of the arm adds at speed is left out: in
 * the worked lift 0.02 % of the greatest torque. The voltages are without acceleration. */
struct chain_demand chain_demand(const struct chain *chain, double full_speed, double acceleration);

/* What the motor should take at most while it runs on one way, and how much more when it breaks
 * loose or speeds up, with `acceleration` where the arm is least: chain_least_arm(). */
struct chain_current {
    double running_a;
    double extra_a;
};
struct chain_current chain_current_at(const struct chain *chain, double least_arm, double position,
                                      int way, double acceleration);

/* The greatest full speed for which this voltage is enough; < 0 if it is for none. */
double chain_speed_from(const struct chain *chain, double voltage_v);

#endif
