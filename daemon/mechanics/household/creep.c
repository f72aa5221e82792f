#include "mechanics/household/creep.h"

#include <stddef.h>

double creep_current_a(const struct motor *motor, double volts) {
    return volts / motor->resistance_ohm;
}

static double pull(const struct chain *chain, double position, double current_a, double mu) {
    const struct drive *drive = &chain->drive;
    double worm = drive->has_worm ? worm_efficiency(&drive->worm, mu) : 1;
    double rack_n = motor_torque_n_m(&chain->motor, current_a) * worm *
                    drive->planetary_efficiency * drive->rack_efficiency /
                    drive_rack_per_motor_rad_m(drive);
    return rack_n * lift_rack_arm(&chain->lift, position);
}

const char *creep_of(const struct chain *chain, double position, double up_a, double down_a,
                     double mu, struct creep *creep) {
    double up = pull(chain, position, up_a, mu), down = pull(chain, position, down_a, mu);
    if (!(up > 0) || !(down > 0)) {
        return "that is less than the motor takes when it turns free: measure where the span "
               "balances, so that the motor drives both ways";
    }
    creep->friction = (up + down) / 2;
    creep->imbalance = (up - down) / 2;
    return NULL;
}
