/* A bridge with few sensors in its world: trains that no detector sees. */
#include "support/check.h"
#include "support/io/sim_world.h"

enum { SECOND_US = 1000000 };

static const uint64_t long_us = UINT64_C(400) * SECOND_US;

/* Approach detectors and proofs; nothing watches the stop sections and the span. */
static struct bridge_setup approaches_alone(void) {
    struct bridge_setup bridge = sim_world_bridge();
    bridge.track[0].has_span_detector = false;
    bridge.track[0].end[0].has_stop_detector = bridge.track[0].end[1].has_stop_detector = false;
    return bridge;
}

/* Two limit switches and nothing else. */
static struct bridge_setup two_switches(void) {
    struct bridge_setup bridge = approaches_alone();
    bridge.has_lock = bridge.has_lock_drive = bridge.has_locked = bridge.has_withdrawn = false;
    bridge.has_nearly_seated = bridge.has_nearly_open = bridge.has_overtravel = false;
    bridge.has_stop_circuit = false;
    bridge.rails = 0;
    bridge.motion.has_position = bridge.motion.has_current = false;
    bridge.track[0].has_span_power_proof = false;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        struct track_end_setup *end = &bridge.track[0].end[e];
        end->has_approach_detector = end->has_standing_detector = false;
        end->has_signal_proof = end->has_stop_power_proof = false;
    }
    return bridge;
}

static struct simulation_setup with_slow_train(void) {
    struct simulation_setup simulation = sim_world_simulation();
    simulation.trains = 1;
    simulation.train[0] = sim_world_train(); /* 1.2 m long, from 3 m before its signal */
    simulation.train[0].speed_m_s = 0.1;
    return simulation;
}

/* The train has left the approach and is on the stop section, creeping on; signals still have to be
 * put to stop behind it. Approach locking knows nothing of it. */
static void slow_train_on_sections_without_detectors_is_not_wrecked(void **state) {
    (void)state;
    struct bridge_setup bridge = approaches_alone();
    /* From first principles: 4 m of approach, 1.5 m, 2.4 m and 1.5 m of sections and 1.2 m of train
     * at 0.1 m/s. */
    bridge.track[0].run_out_us = 106 * SECOND_US;
    /* It leaves over the far approach, which begins the time anew: nothing tells its direction. */
    bridge.clearing_limit_us = 600 * SECOND_US;
    struct simulation_setup simulation = with_slow_train();
    struct sim_world world;
    sim_world_start(&world, &bridge, &simulation);
    sim_world_run_for(&world, 50 * SECOND_US); /* 4.9 m on: its tail is 0.7 m past the signal */
    assert_int_equal(world.inputs.track[0].end[0].approach_clear, LEVEL_ON);
    assert_int_equal(sim_world_ask(&world, REQUEST_RAISE, 0, 0), ANSWER_GRANTED);
    assert_true(sim_world_run_to(&world, PHASE_OPEN, long_us));
    assert_false(sim_world_is_wrecked(&world));
    assert_true(sim_world_heard(&world, "leaves"));
    assert_int_equal(world.wrong_motion_us, 0);
    sim_world_stop(&world);
}

/* The word is given by somebody who looks. */
static void two_switches_open_and_close_on_the_word(void **state) {
    (void)state;
    struct bridge_setup bridge = two_switches();
    struct simulation_setup simulation = with_slow_train();
    struct sim_world world;
    sim_world_start(&world, &bridge, &simulation);
    sim_world_run_for(&world, 50 * SECOND_US);
    assert_int_equal(world.state.phase, PHASE_LINED);
    assert_int_equal(sim_world_ask(&world, REQUEST_RAISE, 0, 0), ANSWER_GRANTED);
    sim_world_run_for(&world, 90 * SECOND_US);
    assert_int_equal(world.state.phase, PHASE_CLEARING);
    assert_true(sim_world_heard(&world, "leaves"));
    assert_int_equal(sim_world_ask(&world, REQUEST_SEEN_CLEAR, 0, 0), ANSWER_GRANTED);
    assert_true(sim_world_run_to(&world, PHASE_OPEN, long_us));
    assert_int_equal(sim_world_ask(&world, REQUEST_LOWER, 0, 0), ANSWER_GRANTED);
    assert_true(sim_world_run_to(&world, PHASE_LINED, long_us));
    assert_false(sim_world_is_wrecked(&world));
    assert_int_equal(world.wrong_motion_us, 0);
    sim_world_stop(&world);
}

/* Where there is no bar none holds the span, and nobody moves one by hand. */
static void world_without_a_bar_has_none(void **state) {
    (void)state;
    struct bridge_setup bridge = two_switches();
    struct simulation_setup simulation = sim_world_simulation();
    struct sim_world world;
    struct error error = {.what = ""};
    sim_world_start(&world, &bridge, &simulation);
    assert_false(world.ops->simulate(world.port, "lock by-hand withdrawn", &error));
    assert_string_equal(error.what, "the span has no lock bar");
    sim_world_stop(&world);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slow_train_on_sections_without_detectors_is_not_wrecked),
        cmocka_unit_test(two_switches_open_and_close_on_the_word),
        cmocka_unit_test(world_without_a_bar_has_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
