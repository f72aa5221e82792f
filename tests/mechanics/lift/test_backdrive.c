/* What holds the span while the motor is off: support/sizing_example.h's leaf and strut. */
#include "mechanics/hold/bump.h"
#include "mechanics/lift/backdrive.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/mechanics/examples.h"
#include "support/mechanics/sizing_example.h"

#include <math.h>

static const double degree = NUMBER_PI / 180;

static struct chain chain_in(struct example *example) {
    struct chain chain = sizing_example_chain();
    chain.drive.planetary_ratio = example_in(example, "ratio_planetary");
    chain.drive.planetary_efficiency = example_in(example, "eta_planetary");
    chain.drive.rack_efficiency = example_in(example, "eta_rack");
    return chain;
}

static void through_a_worm(struct example *example) {
    enum { CASES = 4 };
    double lead[CASES], mu[CASES], friction[CASES], rest[CASES], margin[CASES], torque[CASES];
    struct chain chain = chain_in(example);
    assert_int_equal(example_in_list(example, "lead", lead, CASES), CASES);
    example_in_list(example, "mu", mu, CASES);
    example_in_list(example, "trunnion_friction", friction, CASES);
    example_in_list(example, "motor_rest", rest, CASES);
    chain.drive.worm.ratio = example_in(example, "ratio_worm");
    for (int i = 0; i < CASES; i++) {
        chain.drive.worm.lead_rad = lead[i];
        chain.drive.worm.mu_low = mu[i];
        chain.friction_running = friction[i];
        struct backdrive found =
            backdrive_of(&chain, &(struct backdrive_stop){.motor_n_m = rest[i]});
        margin[i] = found.margin;
        torque[i] = found.torque_n_m;
    }
    example_out_list(example, "margin", margin, CASES);
    example_out_list(example, "torque_at_motor", torque, CASES);
}

static void without_a_worm(struct example *example) {
    enum { CASES = 2 };
    double brake[CASES], friction[CASES], margin[CASES], torque[CASES];
    struct chain chain = chain_in(example);
    chain.drive.has_worm = false;
    example_in_list(example, "brake", brake, CASES);
    example_in_list(example, "trunnion_friction", friction, CASES);
    for (int i = 0; i < CASES; i++) {
        chain.friction_running = friction[i];
        struct backdrive found =
            backdrive_of(&chain, &(struct backdrive_stop){.brake_n_m = brake[i]});
        margin[i] = found.margin;
        torque[i] = found.torque_n_m;
        assert_int_equal(found.by, i == 0 ? BACKDRIVE_BRAKE : BACKDRIVE_TRUNNION);
    }
    example_out_list(example, "margin", margin, CASES);
    example_out_list(example, "torque_at_motor", torque, CASES);
}

static void push_at_the_toe(struct example *example) {
    enum { CASES = 3 };
    double has_worm[CASES], stop[CASES], friction[CASES], push[CASES], at[CASES];
    struct chain chain = chain_in(example);
    assert_int_equal(example_in_list(example, "stop", stop, CASES), CASES);
    example_in_list(example, "has_worm", has_worm, CASES);
    example_in_list(example, "trunnion_friction", friction, CASES);
    chain.drive.worm.ratio = example_in(example, "ratio_worm");
    chain.drive.worm.lead_rad = example_in(example, "lead");
    chain.drive.worm.mu_low = example_in(example, "mu");
    for (int i = 0; i < CASES; i++) {
        chain.drive.has_worm = has_worm[i] != 0;
        chain.friction_running = friction[i];
        struct bump turns = bump_turns(&chain, example_in(example, "toe"),
                                       &(struct backdrive_stop){.motor_n_m = stop[i]});
        push[i] = turns.push_n;
        at[i] = turns.at;
    }
    example_out_list(example, "push", push, CASES);
    example_out_list(example, "at", at, CASES);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {
        {"BD1", through_a_worm}, {"BD2", without_a_worm}, {"BD3", push_at_the_toe}};
    examples_run("backdrive", tests, 3);
}

/* A worm of 4.8 deg that does not lock, and a motor that holds what comes through. */
static void a_motor_holds_what_the_worm_lets_through(void **state) {
    (void)state;
    struct chain chain = sizing_example_chain();
    chain.drive.worm.lead_rad = 4.8 * degree;
    chain.drive.worm.mu_low = 0.05;
    struct backdrive found = backdrive_of(&chain, &(struct backdrive_stop){.motor_n_m = 0.003});
    assert_false(drive_is_locking(&chain.drive));
    assert_int_equal(found.by, BACKDRIVE_MOTOR);
    assert_true(found.margin > 1 && found.shorted_speed == 0);
    found = backdrive_of(&chain, &(struct backdrive_stop){0});
    assert_int_equal(found.by, BACKDRIVE_NOTHING);
    assert_true(found.margin < 1);
    /* Ke Kt w/R = 0.000206538712 N m: 1.331 rad/s of the motor, by 400:1 and the arm of the strut
     * over the pinion's radius. */
    double motor_rad_s = 0.000206538712 * 0.285714286 / (0.00665852313 * 0.00665852313);
    double arm = lift_rack_arm(&chain.lift, 0);
    assert_true(fabs(found.shorted_speed - motor_rad_s / 400 * 0.00635 / arm) < 1e-9);
}

/* Of one part alone the margin is that part's own. */
static void margin_of_a_part_alone_is_its_own(void **state) {
    (void)state;
    struct chain chain = sizing_example_chain();
    chain.friction_running = chain.friction_static = 0;
    chain.drive.planetary_efficiency = chain.drive.rack_efficiency = 1;
    struct backdrive found = backdrive_of(&chain, &(struct backdrive_stop){0});
    assert_true(fabs(found.margin / worm_lock_margin(&chain.drive.worm) - 1) < 1e-9);
    assert_int_equal(found.by, BACKDRIVE_WORM);
    chain.drive.has_worm = false;
    double gravity = 0;
    for (int i = 0; i <= CHAIN_STEPS; i++) {
        double at = chain.lift.travel * i / CHAIN_STEPS;
        gravity = fmax(gravity, backdrive_torque_n_m(&chain, at, 1));
    }
    found = backdrive_of(&chain, &(struct backdrive_stop){.brake_n_m = 2 * gravity});
    assert_true(fabs(found.margin - 2) < 1e-9);
    found = backdrive_of(&chain, &(struct backdrive_stop){0});
    assert_true(found.margin <= 1.01 / BACKDRIVE_MARGIN_MOST);
}

static void only_worm_and_brake_withstand_a_push_on_a_swing_span(void **state) {
    (void)state;
    struct chain chain = sizing_example_chain();
    const struct backdrive_stop motor = {.motor_n_m = 1}, brake = {.brake_n_m = 0.1};
    chain.lift = (struct lift){.kind = LIFT_SWING, .travel = 1.5, .rack_radius_m = 0.2};
    chain.balance.kind = LIFT_SWING;
    assert_true(backdrive_of(&chain, &motor).margin == worm_lock_margin(&chain.drive.worm));
    chain.drive.has_worm = false;
    assert_int_equal(backdrive_of(&chain, &motor).by, BACKDRIVE_NOTHING);
    assert_int_equal(backdrive_of(&chain, &brake).by, BACKDRIVE_BRAKE);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(a_motor_holds_what_the_worm_lets_through),
        cmocka_unit_test(margin_of_a_part_alone_is_its_own),
        cmocka_unit_test(only_worm_and_brake_withstand_a_push_on_a_swing_span),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
