#include "support/io/sim_world.h"

#include "io/drivers.h"
#include "io/simulated/simulated.h"
#include "io/simulated/world/sim.h"
#include "support/check.h"
#include "support/core/puppet.h"

#include <string.h>

static const double degree = 3.14159265358979323846 / 180;

struct bridge_setup sim_world_bridge(void) {
    struct bridge_setup setup = puppet_setup();
    struct motion_setup *motion = &setup.motion;
    motion->full_speed_frac_s = 0.02;
    motion->creep_speed_frac_s = 0.005;
    motion->acceleration_frac_s2 = 0.01;
    motion->deceleration_frac_s2 = 0.01;
    motion->effort_start = 0.035;
    motion->effort_full = 0.56;
    motion->effort_push = 0.2;
    motion->overspeed_ratio = 1.5;
    motion->stall_a = 5;
    motion->travel_limit_us = 120000000;
    motion->seat_limit_us = 40000000;
    return setup;
}

struct bridge_setup sim_world_hand_bridge(void) {
    return puppet_hand_setup();
}

/* The leaf: deck, trusses, toe, heel, counterweight. */
static struct balance leaf(void) {
    const struct balance_item items[] = {
        {14, {1.2, 0.02}, 2.4, 0.04},     {16.5, {1.05, 0.3}, 2.1, 0.6},
        {1.2, {2.3, 0.05}, 0.1, 0.1},     {4, {-0.2, 0.05}, 0.4, 0.3},
        {58, {-0.575, -0.07}, 0.24, 0.4},
    };
    struct balance balance;
    assert_null(balance_of_items(LIFT_STRUT, 0, items, sizeof items / sizeof items[0], &balance));
    return balance;
}

static struct motor motor_540(void) {
    const struct motor_sheet sheet = {
        /* RS-540, 12 V: sheet quoted at chiefdelphi.com/t/2007-motor-specs/75429 */
        .voltage_v = 12, .no_load_rad_s = 16800 * 6 * degree, .no_load_a = 1, .stall_n_m = 0.2788,
        .stall_a = 42,
    };
    struct motor motor;
    assert_null(motor_from_sheet(&sheet, &motor));
    return motor;
}

struct simulation_setup sim_world_simulation(void) {
    return (struct simulation_setup){
        .lift =
            {
                .lift = {.kind = LIFT_STRUT,
                         .travel = 70 * degree,
                         .strut = {.pin = {0.55, 0.3}, .pinion = {-0.45, 0.85}}},
                .balance = leaf(),
                .drive = {.pinion_radius_m = 0.00635,
                          .planetary_ratio = 10,
                          .planetary_efficiency = 0.85,
                          .has_worm = true,
                          .worm = {.ratio = 40,
                                   .lead_rad = 2.86240523 * degree,
                                   .pressure_rad = 20 * degree,
                                   .mu_low = 0.06,
                                   .mu_high = 0.06},
                          .rack_efficiency = 0.95},
                .motor = motor_540(),
                .supply_v = 12,
                .friction_static = 3.5,
                .friction_running = 3.5,
                .measures_position = true,
                .measures_current = true,
            },
        .track = {{.name = "main",
                   .end_name = {"west", "east"},
                   .approach_m = {4, 4},
                   .stop_m = {1.5, 1.5},
                   .span_m = 2.4}},
    };
}

struct simulation_train sim_world_train(void) {
    return (struct simulation_train){.name = "freight",
                                     .length_m = 1.2,
                                     .pickup_m = 0.2,
                                     .speed_m_s = 0.5,
                                     .braking_m_s2 = 0.3,
                                     .coasting_m_s2 = 0.2,
                                     .start_before_m = 3,
                                     .start_us = 1000000};
}

void sim_world_start(struct sim_world *world, const struct bridge_setup *bridge,
                     const struct simulation_setup *simulation) {
    memset(world, 0, sizeof *world);
    world->bridge = *bridge;
    world->simulation = *simulation;
    assert_null(bridge_setup_fault(&world->bridge));
    world->ops = drivers_find("simulated");
    assert_non_null(world->ops);
    const struct port_settings settings = {
        .setup = &world->bridge,
        .own = (struct port_own[]){{"simulated", &world->simulation}, {NULL, NULL}}};
    struct error error = {.what = ""};
    world->port = world->ops->open(&settings, NULL, &error);
    assert_string_equal(error.what, "");
    assert_non_null(world->port);
    bridge_start(&world->bridge, &world->state);
    sim_world_ask(world, REQUEST_NONE, 0, 0);
}

void sim_world_stop(struct sim_world *world) {
    world->ops->safe(world->port);
    world->ops->close(world->port);
    world->port = NULL;
}

static bool is_train_on_bridge(const struct bridge_inputs *inputs) {
    const struct track_inputs *track = &inputs->track[0];
    return track->span_clear == LEVEL_OFF || track->end[0].stop_clear == LEVEL_OFF ||
           track->end[1].stop_clear == LEVEL_OFF;
}

/* One cycle at `now_us`, as the daemon does it: steps again at once while the phase changes. */
static enum bridge_answer cycle(struct sim_world *world, uint64_t now_us,
                                const struct bridge_request *request) {
    const struct bridge_request nothing = {.kind = REQUEST_NONE};
    uint32_t dt_us = (uint32_t)(now_us - world->now_us);
    world->now_us = now_us;
    world->ops->sense(world->port, now_us, &world->inputs);
    enum bridge_phase before = world->state.phase;
    enum bridge_answer answer =
        bridge_step(&world->bridge, &world->state, &world->inputs, request, dt_us, &world->outputs);
    for (unsigned turns = 0; world->state.phase != before; turns++) {
        assert_true(turns < BRIDGE_PHASES);
        before = world->state.phase;
        world->ops->act(world->port, now_us, &world->outputs);
        world->ops->sense(world->port, now_us, &world->inputs);
        bridge_step(&world->bridge, &world->state, &world->inputs, &nothing, 0, &world->outputs);
    }
    world->ops->act(world->port, now_us, &world->outputs);
    world->cycles++;
    if (bridge_is_moving(&world->outputs) && is_train_on_bridge(&world->inputs)) {
        world->wrong_motion_us += dt_us;
    }
    return answer;
}

enum bridge_answer sim_world_ask(struct sim_world *world, enum bridge_request_kind kind,
                                 unsigned track, unsigned end) {
    return cycle(world, world->now_us,
                 &(struct bridge_request){.kind = kind, .track = track, .end = end});
}

/* Waits as long as both allow, `most_us` at most, and runs one cycle. */
static void wait_and_cycle(struct sim_world *world, uint64_t most_us) {
    uint64_t wait_us = bridge_wake_us(&world->bridge, &world->state);
    uint64_t port_us = world->ops->wake_us(world->port);
    wait_us = port_us < wait_us ? port_us : wait_us;
    wait_us = most_us < wait_us ? most_us : wait_us;
    cycle(world, world->now_us + wait_us, &(struct bridge_request){.kind = REQUEST_NONE});
}

void sim_world_run_for(struct sim_world *world, uint64_t time_us) {
    uint64_t end_us = world->now_us + time_us;
    while (world->now_us < end_us) {
        wait_and_cycle(world, end_us - world->now_us);
    }
}

bool sim_world_run_to(struct sim_world *world, enum bridge_phase phase, uint64_t limit_us) {
    uint64_t end_us = world->now_us + limit_us;
    while (world->state.phase != phase && world->now_us < end_us) {
        wait_and_cycle(world, end_us - world->now_us);
    }
    return world->state.phase == phase;
}

void sim_world_tell(struct sim_world *world, const char *words) {
    struct error error = {.what = ""};
    if (!world->ops->simulate(world->port, words, &error)) {
        fail_msg("%s: %s", words, error.what);
    }
    sim_world_ask(world, REQUEST_NONE, 0, 0);
}

bool sim_world_heard(struct sim_world *world, const char *words) {
    bool is_heard = false;
    for (const char *line = world->ops->news(world->port); line != NULL;
         line = world->ops->news(world->port)) {
        is_heard = is_heard || strstr(line, words) != NULL;
    }
    return is_heard;
}

bool sim_world_is_wrecked(const struct sim_world *world) {
    return simulated_world(world->port)->has_wrecked;
}
