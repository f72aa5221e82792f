#include "mechanics/lift/slip.h"

#include "mechanics/number.h"

#include <math.h>

struct slip slip_of(const struct chain *chain) {
    struct slip slip = {.push_n = 0};
    for (int i = 0; i <= CHAIN_STEPS; i++) {
        double position = chain->lift.travel * i / CHAIN_STEPS;
        /* Whichever way gravity works against the movement. */
        double moment = fabs(balance_moment(&chain->balance, position)) + chain->friction_static;
        double push_n = moment / lift_rack_arm(&chain->lift, position);
        if (push_n > slip.push_n) {
            slip.push_n = push_n;
            slip.at = position;
        }
    }
    slip.needed = slip.push_n / (chain->balance.mass_kg * NUMBER_GRAVITY_M_S2);
    return slip;
}
