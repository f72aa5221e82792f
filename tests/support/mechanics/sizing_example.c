#include "support/mechanics/sizing_example.h"

#include "mechanics/number.h"
#include "support/check.h"

static const double degree = NUMBER_PI / 180;

struct chain sizing_example_chain(void) {
    static const struct balance_item items[] = {{.mass_kg = 14, .at = {1.2, 0.02}},
                                                {.mass_kg = 16.5, .at = {1.05, 0.3}},
                                                {.mass_kg = 1.2, .at = {2.3, 0.05}},
                                                {.mass_kg = 4, .at = {-0.2, 0.05}},
                                                {.mass_kg = 58, .at = {-0.575, -0.07}}};
    struct chain chain = {
        .lift = {.kind = LIFT_STRUT,
                 .travel = 80 * degree,
                 .strut = {.pin = {0.55, 0.3}, .pinion = {-0.45, 0.85}}},
        .drive = {.pinion_radius_m = 0.00635,
                  .planetary_ratio = 10,
                  .planetary_efficiency = 0.85,
                  .has_worm = true,
                  .worm = {40, 2.86240523 * degree, 20 * degree, 0.06, 0.06},
                  .rack_efficiency = 0.95},
        .motor = {0.285714286, 0.00665852313, 0.00665852313, 1},
        .supply_v = 12,
        .friction_running = 3.5,
        .friction_static = 4.55,
    };
    assert_null(balance_of_items(LIFT_STRUT, 0, items, 5, &chain.balance));
    return chain;
}

struct sizing_given sizing_example(void) {
    struct sizing_given given = {
        .chain = sizing_example_chain(),
        .law = {1 / 40.0, 1 / 160.0, 1 / 120.0, 1 / 120.0, 0.08, 0.06},
        .supply_a = 5,
        .travel_limit_s = 300,
        .has_current_sensor = true,
        .stall_a = 3,
        .stalled_a = 8,
        .outline_points = 4,
        .outline = {{2.4, 0.05}, {2.1, 0.45}, {-0.7, 0.1}, {-0.7, -0.2}},
        .has_room = true,
        .room = {.axis_height_m = 1.1, .ceiling_m = 3.6, .floor_m = 0, .wall_x_m = -0.9},
        .least_gap_m = 0.01,
        .toe_x_m = 2.4,
        .toe_least_n = 8,
        .toe_most_n = 14,
        .wanted_angle_rad = 30 * degree,
        .has_counterweight = true,
        .counterweight_kg = 58,
        .counterweight = {-0.575, -0.07},
        .end = {{.is_used = true,
                 .has_train = true,
                 .braked = {.speed_m_s = 0.5, .deceleration_m_s2 = 0.3, .reaction_s = 0.2},
                 .dead = {.speed_m_s = 0.5,
                          .deceleration_m_s2 = 0.3,
                          .reaction_s = 0.2,
                          .pickup_span_m = 0.55,
                          .margin_m = 0.15},
                 .stop_m = 2,
                 .approach_m = 4,
                 .approach_lock_s = 10}}};
    given.chain.drive.worm.mu_low = given.chain.drive.worm.mu_high = 0.08;
    return given;
}
