#include "mechanics/drive/duty.h"
#include "support/check.h"
#include "support/mechanics/examples.h"

#include <math.h>

struct scene {
    struct chain chain;
    struct duty_run up, down;
    struct travel travel;
};

static struct scene scene_in(struct example *example) {
    struct scene scene = {
        .chain = {.lift = {.kind = LIFT_SECTOR,
                           .travel = example_in(example, "theta"),
                           .rack_radius_m = example_in(example, "R_sector")},
                  .drive = {.pinion_radius_m = example_in(example, "r_pinion"),
                            .planetary_ratio = example_in(example, "ratio"),
                            .planetary_efficiency = example_in(example, "eta_gearbox"),
                            .rack_efficiency = example_in(example, "eta_rack")},
                  .motor = {.resistance_ohm = example_in(example, "R"),
                            .ke_v_s_rad = example_in(example, "K"),
                            .kt_n_m_a = example_in(example, "K"),
                            .no_load_a = example_in(example, "I0")},
                  .supply_v = 12,
                  .friction_running = example_in(example, "friction")}};
    double leaf[3], gain = example_in(example, "gain");
    assert_int_equal(example_in_list(example, "leaf", leaf, 3), 3);
    const struct balance_item item = {.mass_kg = leaf[0], .at = {leaf[1], leaf[2]}};
    assert_null(balance_of_items(LIFT_SECTOR, 0, &item, 1, &scene.chain.balance));
    const struct travel_law law = {.full_frac_s = example_in(example, "full"),
                                   .creep_frac_s = example_in(example, "creep"),
                                   .acceleration_frac_s2 = gain,
                                   .deceleration_frac_s2 = gain};
    travel_run(&law, &scene.chain.lift, CHAIN_UP, &scene.travel);
    duty_run(&scene.chain, &scene.travel, CHAIN_UP, &scene.up);
    travel_run(&law, &scene.chain.lift, CHAIN_DOWN, &scene.travel);
    duty_run(&scene.chain, &scene.travel, CHAIN_DOWN, &scene.down);
    return scene;
}

static void losses(struct example *example) {
    struct scene scene = scene_in(example);
    example_out(example, "duration", scene.travel.duration_s);
    example_out(example, "copper_up", scene.up.copper_j);
    example_out(example, "other_up", scene.up.other_j);
    example_out(example, "copper_down", scene.down.copper_j);
    example_out(example, "other_down", scene.down.other_j);
    example_out(example, "rms_up", scene.up.rms_a);
}

static void evening(struct example *example) {
    struct scene scene = scene_in(example);
    double resistance[2], time_s[2];
    assert_int_equal(example_in_list(example, "Rth", resistance, 2), 2);
    assert_int_equal(example_in_list(example, "taus", time_s, 2), 2);
    const struct heat heat = {
        resistance[0], resistance[1], time_s[0], time_s[1], example_in(example, "air"), 105};
    const struct duty duty = {(unsigned)example_in(example, "openings"),
                              example_in(example, "every"), example_in(example, "open")};
    struct duty_heat found = duty_heat(&heat, &duty, &scene.up, &scene.down);
    example_out(example, "hottest", found.evening_c);
    assert_true(found.endless_c > found.evening_c);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"H3", losses}, {"H4", evening}};
    examples_run("duty", tests, 2);
}

/* So much loss that copper's resistance grows faster than the air can take the heat. */
static void a_hopeless_motor_runs_away(void **state) {
    (void)state;
    const struct heat heat = {4, 8, 30, 900, 30, 105};
    const struct duty duty = {3, 10, 0};
    struct duty_run run = {.step_s = 0.5};
    for (int i = 0; i + 1 < TRAVEL_MOMENTS; i++) {
        run.loss[i].copper_w = 60;
    }
    struct duty_heat found = duty_heat(&heat, &duty, &run, &run);
    assert_true(found.evening_c > 105 && isinf(found.endless_c));
}

/* More openings in the same time are warmer; a longer rest is cooler. */
static void rest_cools(void **state) {
    (void)state;
    struct example *example = examples_borrow("duty", "H4");
    struct scene scene = scene_in(example);
    const struct heat heat = {4, 8, 30, 900, 30, 105};
    struct duty duty = {12, 300, 60};
    double often_c = duty_heat(&heat, &duty, &scene.up, &scene.down).evening_c;
    duty.every_s = 900;
    assert_true(duty_heat(&heat, &duty, &scene.up, &scene.down).evening_c < often_c - 0.5);
}

/* The trace is of the same evening: its hottest is what duty_heat() found, and it ends cooler. */
static void the_trace_shows_the_evening(void **state) {
    (void)state;
    struct scene scene = scene_in(examples_borrow("duty", "H4"));
    const struct heat heat = {4, 8, 30, 900, 30, 105};
    const struct duty duty = {5, 300, 60};
    static struct duty_sample sample[1501];
    double hottest_c = 0;
    assert_true(duty_evening_s(&duty, &scene.up, &scene.down) == 1500);
    unsigned count = duty_trace(&heat, &duty, &scene.up, &scene.down, 1, sample, 1501);
    assert_int_equal(count, 1501);
    for (unsigned i = 0; i < count; i++) {
        hottest_c = fmax(hottest_c, sample[i].at.winding_c);
    }
    double wanted_c = duty_heat(&heat, &duty, &scene.up, &scene.down).evening_c;
    assert_true(fabs(hottest_c - wanted_c) < 0.02);
    assert_true(sample[0].at.winding_c == 30 && sample[1500].at.winding_c < wanted_c - 0.5);
    assert_int_equal(duty_trace(&heat, &duty, &scene.up, &scene.down, 1, sample, 7), 7);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(a_hopeless_motor_runs_away),
        cmocka_unit_test(rest_cools),
        cmocka_unit_test(the_trace_shows_the_evening),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
