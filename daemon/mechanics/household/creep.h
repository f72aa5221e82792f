/* creep.h: friction and imbalance from what the motor only just needs to keep the span creeping,
 * both ways past one place. Pure: no I/O, no allocation.
 *
 * Creeping, the motor's torque is Kt (I - I0), with I = V/R from a voltage (its speed makes next to
 * no voltage); through the gears F = T ratio efficiency / r; half the sum of both ways is friction,
 * half the difference imbalance (statics). Right only where the motor drives both ways: near the
 * place where the span balances. */
#ifndef MECHANICS_CREEP_H
#define MECHANICS_CREEP_H

#include "mechanics/lift/chain.h"

struct creep {
    double friction;  /* as struct chain has it */
    double imbalance; /* as balance_moment() */
};

double creep_current_a(const struct motor *motor, double volts);

/* With this friction in the worm. Returns NULL, or what is wrong in words (static storage). */
const char *creep_of(const struct chain *chain, double position, double up_a, double down_a,
                     double mu, struct creep *creep);

#endif
