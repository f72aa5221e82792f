#include "mechanics/lift/backdrive.h"

#include <math.h>
#include <stdbool.h>

enum { HALVINGS = 52 };

static double eased_efficiency(double efficiency, double ease) {
    return fmax(0, 1 - (1 - efficiency) / ease);
}

/* What the span weighs and where, at one place. */
struct place {
    double position;
    double moment; /* either way */
    double arm;
};

static struct place place_of(const struct chain *chain, double position) {
    return (struct place){position, fabs(balance_moment(&chain->balance, position)),
                          lift_rack_arm(&chain->lift, position)};
}

/* At the shaft for a newton that drives the rack back; below zero the motor would have to add it.
 */
static double shaft_per_n(const struct chain *chain, double ease) {
    struct drive drive = chain->drive;
    drive.rack_efficiency = eased_efficiency(drive.rack_efficiency, ease);
    drive.planetary_efficiency = eased_efficiency(drive.planetary_efficiency, ease);
    return fmax(0, -drive_motor_torque_n_m(&drive, -1, drive.worm.mu_low / ease));
}

static double torque_at(const struct chain *chain, double per_n, const struct place *place,
                        double ease) {
    double moment = place->moment - chain->friction_running / ease;
    return moment > 0 ? per_n * moment / place->arm : 0;
}

double backdrive_torque_n_m(const struct chain *chain, double position, double ease) {
    const struct place place = place_of(chain, position);
    return torque_at(chain, shaft_per_n(chain, ease), &place, ease);
}

double backdrive_held_n_m(const struct chain *chain, const struct backdrive_stop *stop,
                          double position) {
    const struct drive *drive = &chain->drive;
    double per_n_m = -drive_motor_torque_n_m(drive, -1 / lift_rack_arm(&chain->lift, position),
                                             drive->worm.mu_low);
    return per_n_m > 0 ? chain->friction_running + (stop->motor_n_m + stop->brake_n_m) / per_n_m
                       : INFINITY;
}

/* What does not change with the ease, at each place. */
struct places {
    struct place place[CHAIN_STEPS + 1];
};

static void find_places(const struct chain *chain, struct places *places) {
    for (int i = 0; i <= CHAIN_STEPS; i++) {
        places->place[i] = place_of(chain, chain->lift.travel * i / CHAIN_STEPS);
    }
}

/* The greatest torque at the shaft over the travel, and where. */
static double greatest(const struct chain *chain, const struct places *places, double ease,
                       double *position) {
    double per_n = shaft_per_n(chain, ease);
    double most = -INFINITY;
    for (int i = 0; i <= CHAIN_STEPS; i++) {
        double torque = torque_at(chain, per_n, &places->place[i], ease);
        if (torque > most) {
            most = torque;
            *position = places->place[i].position;
        }
    }
    return most;
}

static bool stands(const struct chain *chain, const struct places *places, double stop_n_m,
                   double ease, double *position) {
    return greatest(chain, places, ease, position) <= stop_n_m / ease;
}

/* Leaves in `position` where the span moves first. */
static double margin_of(const struct chain *chain, double stop_n_m, double *position) {
    double low = log(1 / BACKDRIVE_MARGIN_MOST), high = log(BACKDRIVE_MARGIN_MOST), unused;
    struct places places;
    find_places(chain, &places);
    if (stands(chain, &places, stop_n_m, exp(high), position)) {
        return INFINITY;
    }
    for (int i = 0; i < HALVINGS; i++) {
        double middle = (low + high) / 2;
        *(stands(chain, &places, stop_n_m, exp(middle), &unused) ? &low : &high) = middle;
    }
    greatest(chain, &places, exp(high), position);
    return exp(low);
}

static enum backdrive_part part_of(const struct chain *chain, const struct backdrive_stop *stop,
                                   const struct backdrive *found) {
    double moment = fabs(balance_moment(&chain->balance, found->position));
    if (found->margin < 1) {
        return BACKDRIVE_NOTHING;
    }
    if (moment <= chain->friction_running) {
        return BACKDRIVE_TRUNNION;
    }
    if (drive_is_locking(&chain->drive)) {
        return BACKDRIVE_WORM;
    }
    return found->torque_n_m <= stop->motor_n_m ? BACKDRIVE_MOTOR : BACKDRIVE_BRAKE;
}

static double shorted_speed(const struct chain *chain, const struct backdrive_stop *stop,
                            const struct backdrive *found) {
    const struct motor *motor = &chain->motor;
    double over_n_m = fmax(0, found->torque_n_m - stop->motor_n_m);
    double motor_rad_s = over_n_m * motor->resistance_ohm / (motor->ke_v_s_rad * motor->kt_n_m_a);
    double arm = lift_rack_arm(&chain->lift, found->position);
    return motor_rad_s / drive_motor_per_position(&chain->drive, arm);
}

static struct backdrive of_push(const struct chain *chain, const struct backdrive_stop *stop) {
    bool has_brake = stop->brake_n_m > 0, has_worm = chain->drive.has_worm;
    struct backdrive found = {.margin = has_brake  ? INFINITY
                                        : has_worm ? worm_lock_margin(&chain->drive.worm)
                                                   : 0};
    found.by = has_brake ? BACKDRIVE_BRAKE : found.margin >= 1 ? BACKDRIVE_WORM : BACKDRIVE_NOTHING;
    return found;
}

struct backdrive backdrive_of(const struct chain *chain, const struct backdrive_stop *stop) {
    struct backdrive found = {.margin = 0};
    if (chain->lift.kind == LIFT_SWING) {
        return of_push(chain, stop);
    }
    found.margin = margin_of(chain, stop->motor_n_m + stop->brake_n_m, &found.position);
    found.torque_n_m = backdrive_torque_n_m(chain, found.position, 1);
    found.by = part_of(chain, stop, &found);
    found.shorted_speed = shorted_speed(chain, stop, &found);
    return found;
}
