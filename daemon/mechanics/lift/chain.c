#include "mechanics/lift/chain.h"

#include <math.h>
#include <stddef.h>

static double friction_of(const struct chain *chain, enum chain_friction friction) {
    return friction == CHAIN_FROM_REST ? chain->friction_static : chain->friction_running;
}

static double mu_of(const struct chain *chain, enum chain_friction friction) {
    return friction == CHAIN_LEAST ? chain->drive.worm.mu_low : chain->drive.worm.mu_high;
}

/* What the torque takes from one place. */
struct place {
    double arm;
    double moment; /* as the span rises */
    double inertia;
};

static struct place place_of(const struct chain *chain, double position) {
    return (struct place){lift_rack_arm(&chain->lift, position),
                          balance_moment(&chain->balance, position),
                          balance_inertia(&chain->balance, position)};
}

static double torque_at(const struct chain *chain, const struct place *place,
                        const struct chain_move *move) {
    double rack_n =
        drive_rack_force_n(move->way * place->moment, friction_of(chain, move->friction),
                           place->inertia * move->acceleration, place->arm);
    double rotor = chain->rotor_inertia_kg_m2 * move->acceleration *
                   drive_motor_per_position(&chain->drive, place->arm);
    return drive_motor_torque_n_m(&chain->drive, rack_n, mu_of(chain, move->friction)) + rotor;
}

double chain_torque_n_m(const struct chain *chain, const struct chain_move *move) {
    const struct place place = place_of(chain, move->position);
    return torque_at(chain, &place, move);
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

static void take_torque(double torque, const struct chain_move *move, struct chain_demand *demand) {
    if (torque > demand->torque_n_m) {
        demand->torque_n_m = torque;
        demand->torque_position = move->position;
        demand->torque_way = move->way;
    }
}

/* What the span gains while the motor speeds up evenly: `acceleration` where its arm is least. */
static struct chain_move speeding_up(const struct chain_move *running, const struct place *place,
                                     double least_arm, double acceleration) {
    return (struct chain_move){running->position, running->way, CHAIN_MOST,
                               least_arm / place->arm * acceleration};
}

static void look_at(const struct chain *chain, const struct place *place, double motor_rad_s,
                    const struct chain_move *most, const struct chain_move *faster,
                    struct chain_demand *demand) {
    const struct motor *motor = &chain->motor;
    struct chain_move least = *most, rest = *most;
    least.friction = CHAIN_LEAST;
    rest.friction = CHAIN_FROM_REST;
    double least_n_m = torque_at(chain, place, &least);
    double most_n_m = torque_at(chain, place, most);
    double rest_n_m = torque_at(chain, place, &rest);
    demand->start_v = fmax(demand->start_v, motor_voltage_v(motor, most_n_m, 0));
    demand->break_v = fmax(demand->break_v, motor_voltage_v(motor, rest_n_m, 0));
    demand->full_least_v =
        fmin(demand->full_least_v, motor_voltage_v(motor, least_n_m, motor_rad_s));
    demand->full_most_v = fmax(demand->full_most_v, motor_voltage_v(motor, most_n_m, motor_rad_s));
    take_torque(rest_n_m, &rest, demand);
    take_torque(torque_at(chain, place, faster), faster, demand);
}

struct chain_demand chain_demand(const struct chain *chain, double full_speed,
                                 double acceleration) {
    struct chain_demand demand = {.full_least_v = INFINITY, .torque_n_m = -INFINITY};
    double least_arm = chain_least_arm(chain, NULL);
    double motor_rad_s = full_speed * drive_motor_per_position(&chain->drive, least_arm);
    for (int i = 0; i <= CHAIN_STEPS; i++) {
        const struct place place = place_of(chain, position_of(chain, i));
        for (int way = CHAIN_UP; way >= CHAIN_DOWN; way -= CHAIN_UP - CHAIN_DOWN) {
            const struct chain_move most = {position_of(chain, i), way, CHAIN_MOST, 0};
            const struct chain_move faster = speeding_up(&most, &place, least_arm, acceleration);
            look_at(chain, &place, motor_rad_s, &most, &faster, &demand);
        }
    }
    demand.current_a = motor_current_a(&chain->motor, demand.torque_n_m);
    return demand;
}

struct chain_current chain_current_at(const struct chain *chain, double least_arm, double position,
                                      int way, double acceleration) {
    const struct place place = place_of(chain, position);
    const struct chain_move running = {position, way, CHAIN_MOST, 0};
    const struct chain_move rest = {position, way, CHAIN_FROM_REST, 0};
    const struct chain_move faster = speeding_up(&running, &place, least_arm, acceleration);
    double running_a = motor_current_a(&chain->motor, torque_at(chain, &place, &running));
    double rest_a = motor_current_a(&chain->motor, torque_at(chain, &place, &rest));
    double faster_a = motor_current_a(&chain->motor, torque_at(chain, &place, &faster));
    return (struct chain_current){running_a, fmax(rest_a, faster_a) - running_a};
}

double chain_speed_from(const struct chain *chain, double voltage_v) {
    double slow_v = chain_demand(chain, 0, 0).start_v;
    double motor_rad_s = (voltage_v - slow_v) / chain->motor.ke_v_s_rad;
    return motor_rad_s / drive_motor_per_position(&chain->drive, chain_least_arm(chain, NULL));
}
