/* A whole chain from leaf to motor: support/mechanics/sizing_example.h. Its numbers were worked out
 * for this project by a second way (power balance: leaf moment x rate = motor power x
 * efficiencies). */
#include "mechanics/lift/chain.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/mechanics/sizing_example.h"

#include <math.h>

static const double degree = NUMBER_PI / 180;

static void assert_near(double found, double wanted, double part) {
    if (!(fabs(found - wanted) <= part * fabs(wanted))) {
        fail_msg("found %.9g, wanted %.9g", found, wanted);
    }
}

static void torque_current_and_voltage_are_those_worked_out_by_hand(void **state) {
    (void)state;
    static const double torque[] = {0.00257930985, 0.00179841921, 0.00107751949, 0.000374806198,
                                    0.000101983628};
    static const double current[] = {1.38736966, 1.27009281, 1.1618256, 1.05628969, 1.01531625};
    static const double voltage[] = {5.87153757, 5.83802989, 5.8070964, 5.77694329, 5.76523659};
    const struct chain chain = sizing_example_chain();
    for (int i = 0; i < 5; i++) {
        const struct chain_move move = {i * 20 * degree, CHAIN_UP, CHAIN_MOST, 0};
        assert_near(chain_torque_n_m(&chain, &move), torque[i], 1e-6);
        assert_near(chain_current_a(&chain, &move), current[i], 1e-6);
        assert_near(chain_voltage_v(&chain, &move, 7852.16094 * NUMBER_PI / 30), voltage[i], 1e-6);
    }
}

static void lowering_turns_the_moment_round(void **state) {
    (void)state;
    struct chain chain = sizing_example_chain();
    const struct chain_move down = {0, CHAIN_DOWN, CHAIN_MOST, 0};
    double lowered = chain_torque_n_m(&chain, &down);
    chain.balance.sx_kg_m = -chain.balance.sx_kg_m;
    const struct chain_move up = {0, CHAIN_UP, CHAIN_MOST, 0};
    assert_near(lowered, chain_torque_n_m(&chain, &up), 1e-12);
}

/* All in the raising sense at 0: more friction, and speeding up, take more. */
static void friction_and_speeding_up_take_more(void **state) {
    (void)state;
    struct chain chain = sizing_example_chain();
    chain.drive.worm.mu_low = 0.05;
    chain.rotor_inertia_kg_m2 = 5e-6;
    struct chain_move move = {0, CHAIN_UP, CHAIN_LEAST, 0};
    double least = chain_torque_n_m(&chain, &move);
    move.friction = CHAIN_MOST;
    double most = chain_torque_n_m(&chain, &move);
    move.friction = CHAIN_FROM_REST;
    double rest = chain_torque_n_m(&chain, &move);
    assert_true(least < most && most < rest);

    move.friction = CHAIN_MOST;
    move.acceleration = 0.01;
    double inertial = balance_inertia(&chain.balance, 0) * 0.01 / 0.527920085; /* rack force */
    double rotor = 5e-6 * 0.01 * 33254.8085; /* motor radians for one of the leaf: D13's count */
    assert_near(chain_torque_n_m(&chain, &move) - most,
                drive_motor_torque_n_m(&chain.drive, inertial, 0.06) + rotor, 1e-6);
}

static void the_span_is_fastest_at_the_least_arm(void **state) {
    (void)state;
    const struct chain chain = sizing_example_chain();
    double at = 0;
    assert_near(chain_least_arm(&chain, &at), 0.271571457, 1e-7);
    assert_near(at, 80 * degree, 1e-12);
    assert_near(chain_motor_rad_s(&chain, 0.02), 0.02 * 0.271571457 * 400 / 0.00635, 1e-7);
}

static void demand_is_the_worst_of_both_ways(void **state) {
    (void)state;
    const struct chain chain = sizing_example_chain();
    const struct chain_move worst = {0, CHAIN_UP, CHAIN_FROM_REST, 0};
    struct chain_demand demand = chain_demand(&chain, 0.02, 0);
    assert_near(demand.torque_n_m, chain_torque_n_m(&chain, &worst), 1e-12);
    assert_int_equal(demand.torque_way, CHAIN_UP);
    assert_near(demand.torque_position + 1, 1, 1e-12);
    assert_near(demand.current_a, chain_current_a(&chain, &worst), 1e-12);
    assert_near(demand.break_v, chain_voltage_v(&chain, &worst, 0), 1e-12);
    assert_true(demand.start_v < demand.break_v);
    assert_true(demand.full_least_v < demand.full_most_v);

    struct chain_demand quick = chain_demand(&chain, 0.02, 5);
    assert_true(quick.torque_n_m > demand.torque_n_m);
    assert_near(quick.full_most_v, demand.full_most_v, 1e-12);
}

/* The motor speeds up evenly, so that the span gains less where its arm is longer: 0.5 deg/s2 where
 * the arm is least, about half of that when seated. Torque by energy in numpy: the span's place
 * from the rack's travel by Brent's method, power from the differences of its kinetic and potential
 * energy and the rotor's; derived here. */
static void span_gains_less_where_its_arm_is_longer(void **state) {
    (void)state;
    struct chain chain = sizing_example_chain();
    chain.drive.has_worm = false;
    chain.drive.planetary_ratio = 400;
    chain.drive.planetary_efficiency = chain.drive.rack_efficiency = 1;
    chain.rotor_inertia_kg_m2 = 5e-6;
    struct chain_demand demand = chain_demand(&chain, 2 * degree, 0.5 * degree);
    assert_near(demand.torque_n_m, 0.001667096, 1e-5);
    const struct chain_move running = {40 * degree, CHAIN_DOWN, CHAIN_MOST, 0};
    struct chain_current current = chain_current_at(&chain, chain_least_arm(&chain, NULL),
                                                    40 * degree, CHAIN_DOWN, 0.5 * degree);
    double gained_n_m = 0.0005492094 - chain_torque_n_m(&chain, &running);
    assert_near(current.extra_a, gained_n_m / chain.motor.kt_n_m_a, 1e-4);
}

static void speed_from_a_voltage_takes_that_voltage(void **state) {
    (void)state;
    const struct chain chain = sizing_example_chain();
    double full = chain_speed_from(&chain, 10.8);
    assert_near(chain_demand(&chain, full, 0).full_most_v, 10.8, 1e-9);
    assert_true(chain_speed_from(&chain, 0.1) < 0); /* the no-load current alone takes 0.29 V */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(torque_current_and_voltage_are_those_worked_out_by_hand),
        cmocka_unit_test(lowering_turns_the_moment_round),
        cmocka_unit_test(friction_and_speeding_up_take_more),
        cmocka_unit_test(the_span_is_fastest_at_the_least_arm),
        cmocka_unit_test(demand_is_the_worst_of_both_ways),
        cmocka_unit_test(span_gains_less_where_its_arm_is_longer),
        cmocka_unit_test(speed_from_a_voltage_takes_that_voltage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
