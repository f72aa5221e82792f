#include "mechanics/lift/chain.h"

#include <math.h>
#include <stddef.h>

static double friction_of(const struct chain *chain, enum chain_friction friction) {
    return friction == CHAIN_FROM_REST ? chain->friction_static : chain->friction_running;
}

static double mu_of(const struct chain *chain, enum chain_friction friction) {
    return friction == CHAIN_LEAST ? chain->drive.worm.mu_low : chain->drive.worm.mu_high;
}

double chain_torque_n_m(const struct chain *chain, const struct chain_move *move) {
    double arm = lift_rack_arm(&chain->lift, move->position);
    double moment = move->way * balance_moment(&chain->balance, move->position);
    double inertial = balance_inertia(&chain->balance, move->position) * move->acceleration;
    double rack_n = drive_rack_force_n(moment, friction_of(chain, move->friction), inertial, arm);
    double rotor = chain->rotor_inertia_kg_m2 * move->acceleration *
                   drive_motor_per_position(&chain->drive, arm);
    return drive_motor_torque_n_m(&chain->drive, rack_n, mu_of(chain, move->friction)) + rotor;
}

double chain_current_a(const struct chain *chain, const struct chain_move *move) {
    return motor_current_a(&chain->motor, chain_torque_n_m(chain, move));
}

double chain_voltage_v(const struct chain *chain, const struct chain_move *move,
                       double motor_rad_s) {
    return motor_voltage_v(&chain->motor, chain_torque_n_m(chain, move), motor_rad_s);
}

static double position_of(const struct chain *chain, int step) {
    return chain->lift.travel * step / CHAIN_STEPS;
}

double chain_least_arm(const struct chain *chain, double *position) {
    double least = INFINITY;
    for (int i = 0; i <= CHAIN_STEPS; i++) {
        double arm = lift_rack_arm(&chain->lift, position_of(chain, i));
        if (arm < least) {
            least = arm;
            if (position != NULL) {
                *position = position_of(chain, i);
            }
        }
    }
    return least;
}

double chain_motor_rad_s(const struct chain *chain, double full_speed) {
    return full_speed * drive_motor_per_position(&chain->drive, chain_least_arm(chain, NULL));
}

static void take_torque(const struct chain *chain, const struct chain_move *move,
                        struct chain_demand *demand) {
    double torque = chain_torque_n_m(chain, move);
    if (torque > demand->torque_n_m) {
        demand->torque_n_m = torque;
        demand->torque_position = move->position;
        demand->torque_way = move->way;
    }
}

/* What the span gains while the motor speeds up evenly: `acceleration` where its arm is least. */
static struct chain_move speeding_up(const struct chain *chain, double position, int way,
                                     double least_arm, double acceleration) {
    double share = least_arm / lift_rack_arm(&chain->lift, position);
    return (struct chain_move){position, way, CHAIN_MOST, share * acceleration};
}

static void look_at(const struct chain *chain, double position, int way, double motor_rad_s,
                    const struct chain_move *faster, struct chain_demand *demand) {
    struct chain_move least = {position, way, CHAIN_LEAST, 0};
    struct chain_move most = {position, way, CHAIN_MOST, 0};
    struct chain_move rest = {position, way, CHAIN_FROM_REST, 0};
    demand->start_v = fmax(demand->start_v, chain_voltage_v(chain, &most, 0));
    demand->break_v = fmax(demand->break_v, chain_voltage_v(chain, &rest, 0));
    demand->full_least_v = fmin(demand->full_least_v, chain_voltage_v(chain, &least, motor_rad_s));
    demand->full_most_v = fmax(demand->full_most_v, chain_voltage_v(chain, &most, motor_rad_s));
    take_torque(chain, &rest, demand);
    take_torque(chain, faster, demand);
}

struct chain_demand chain_demand(const struct chain *chain, double full_speed,
                                 double acceleration) {
    struct chain_demand demand = {.full_least_v = INFINITY, .torque_n_m = -INFINITY};
    double motor_rad_s = chain_motor_rad_s(chain, full_speed);
    double least_arm = chain_least_arm(chain, NULL);
    for (int i = 0; i <= CHAIN_STEPS; i++) {
        for (int way = CHAIN_UP; way >= CHAIN_DOWN; way -= CHAIN_UP - CHAIN_DOWN) {
            struct chain_move faster =
                speeding_up(chain, position_of(chain, i), way, least_arm, acceleration);
            look_at(chain, position_of(chain, i), way, motor_rad_s, &faster, &demand);
        }
    }
    demand.current_a = motor_current_a(&chain->motor, demand.torque_n_m);
    return demand;
}

struct chain_current chain_current_at(const struct chain *chain, double position, int way,
                                      double acceleration) {
    const struct chain_move running = {position, way, CHAIN_MOST, 0};
    const struct chain_move rest = {position, way, CHAIN_FROM_REST, 0};
    const struct chain_move faster =
        speeding_up(chain, position, way, chain_least_arm(chain, NULL), acceleration);
    double running_a = chain_current_a(chain, &running);
    double most_a = fmax(chain_current_a(chain, &rest), chain_current_a(chain, &faster));
    return (struct chain_current){running_a, most_a - running_a};
}

double chain_speed_from(const struct chain *chain, double voltage_v) {
    double slow_v = chain_demand(chain, 0, 0).start_v;
    double motor_rad_s = (voltage_v - slow_v) / chain->motor.ke_v_s_rad;
    return motor_rad_s / drive_motor_per_position(&chain->drive, chain_least_arm(chain, NULL));
}
