#include "io/simulated/world/sim_lift.h"

#include <math.h>

/* Torque at the motor's shaft against turning in direction `way` (1 raises, -1 lowers); below 0
 * where the leaf drives the motor. */
static double opposing_nm(const struct simulation_lift *setup, const struct sim_lift *lift,
                          const struct sim_lift_drive *drive, int way, double friction) {
    const struct motor *motor = &setup->motor;
    double torque = motor->kt_n_m_a * motor->no_load_a;
    if (drive->is_braked) {
        torque += setup->brake_torque_nm;
    }
    if (drive->is_slipping) {
        return torque;
    }
    double moment = way * balance_moment(&setup->balance, lift->position);
    double arm = lift_rack_arm(&setup->lift, lift->position);
    double rack_n = drive_rack_force_n(moment, friction, 0, arm);
    /* This worm has the friction midway between the lowest and the highest credible. */
    double mu = (setup->drive.worm.mu_low + setup->drive.worm.mu_high) / 2;
    return torque + drive_motor_torque_n_m(&setup->drive, rack_n, mu);
}

static bool is_free(const struct sim_lift *lift, const struct sim_lift_drive *drive, int way) {
    if (drive->is_slipping) {
        return true;
    }
    return way > 0 ? lift->position < drive->highest : lift->position > drive->lowest;
}

/* Torque of the motor standing still. */
static double standing_nm(const struct simulation_lift *setup, const struct sim_lift_drive *drive) {
    const struct motor *motor = &setup->motor;
    return drive->is_circuit_open ? 0 : motor->kt_n_m_a * drive->volts / motor->resistance_ohm;
}

/* Which way it turns or breaks away; 0: it stands. */
static int way_of(const struct simulation_lift *setup, const struct sim_lift *lift,
                  const struct sim_lift_drive *drive) {
    if (lift->motor_rad_s != 0) {
        return lift->motor_rad_s > 0 ? 1 : -1;
    }
    for (int way = 1; way >= -1; way -= 2) {
        if (is_free(lift, drive, way) &&
            way * standing_nm(setup, drive) >
                opposing_nm(setup, lift, drive, way, setup->friction_static)) {
            return way;
        }
    }
    return 0;
}

/* Exact course of J dw/dt = torque - damping w over `dt_s`; stops where w would change its sign.
 * Changes `w` and returns the angle turned. */
static double turn(double *w, double torque_nm, double damping, double inertia, int way,
                   double dt_s) {
    double start = *w;
    if (damping <= 0) {
        double acceleration = torque_nm / inertia;
        if (way * (start + acceleration * dt_s) < 0) {
            *w = 0;
            return -start * start / (2 * acceleration);
        }
        *w = start + acceleration * dt_s;
        return (start + *w) / 2 * dt_s;
    }
    double end = torque_nm / damping;
    double tau = inertia / damping;
    *w = end + (start - end) * exp(-dt_s / tau);
    if (way * *w < 0) {
        dt_s = tau * log((start - end) / -end);
        *w = 0;
    }
    return end * dt_s + (start - *w) * tau;
}

void sim_lift_step(const struct simulation_lift *setup, struct sim_lift *lift,
                   const struct sim_lift_drive *drive, double dt_s) {
    int way = way_of(setup, lift, drive);
    if (way == 0) {
        return;
    }
    const struct motor *motor = &setup->motor;
    double torque = standing_nm(setup, drive) -
                    way * opposing_nm(setup, lift, drive, way, setup->friction_running);
    double damping =
        drive->is_circuit_open ? 0 : motor->kt_n_m_a * motor->ke_v_s_rad / motor->resistance_ohm;
    double inertia = setup->rotor_inertia_kg_m2;
    if (drive->is_slipping) {
        turn(&lift->motor_rad_s, torque, damping, inertia, way, dt_s);
        return;
    }
    double n = drive_motor_per_position(&setup->drive, lift_rack_arm(&setup->lift, lift->position));
    inertia += balance_inertia(&setup->balance, lift->position) / (n * n);
    lift->position += turn(&lift->motor_rad_s, torque, damping, inertia, way, dt_s) / n;
    if (lift->position >= drive->highest || lift->position <= drive->lowest) {
        lift->position = fmax(fmin(lift->position, drive->highest), drive->lowest);
        if (!is_free(lift, drive, way)) {
            lift->motor_rad_s = 0;
        }
    }
}

bool sim_lift_is_moving(const struct simulation_lift *setup, const struct sim_lift *lift,
                        const struct sim_lift_drive *drive) {
    return way_of(setup, lift, drive) != 0;
}

double sim_lift_current_a(const struct simulation_lift *setup, const struct sim_lift *lift,
                          const struct sim_lift_drive *drive) {
    if (drive->is_circuit_open) {
        return 0;
    }
    return fabs(motor_current_at_speed_a(&setup->motor, drive->volts, lift->motor_rad_s));
}
