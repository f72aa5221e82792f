/* The simulated bridge and the core in closed loop: what a user sees of both together. */
#include "core/words/names.h"
#include "io/simulated/simulated.h"
#include "io/simulated/world/sim.h"
#include "support/check.h"
#include "support/io/sim_world.h"

#include <math.h>

static const uint64_t second = 1000000;

struct run {
    struct sim_world world;
    struct bridge_setup bridge;
    struct simulation_setup simulation;
};

static struct run quiet(void) {
    return (struct run){.bridge = sim_world_bridge(), .simulation = sim_world_simulation()};
}

static struct run with_train(void) {
    struct run run = quiet();
    run.simulation.trains = 1;
    run.simulation.train[0] = sim_world_train();
    return run;
}

static void begin(struct run *run) {
    sim_world_start(&run->world, &run->bridge, &run->simulation);
    assert_true(sim_world_run_to(&run->world, PHASE_LINED, 10 * second));
    sim_world_run_for(&run->world, run->bridge.clear_us); /* sections are believed clear */
}

static double place(const struct run *run) {
    return sim_position_frac(simulated_world(run->world.port));
}

static void raise_span(struct run *run) {
    assert_int_equal(sim_world_ask(&run->world, REQUEST_RAISE, 0, 0), ANSWER_GRANTED);
}

static void assert_fault(const struct run *run, enum bridge_fault fault) {
    assert_string_equal(bridge_phase_name(run->world.state.phase), "fault");
    assert_string_equal(bridge_fault_name(run->world.state.fault), bridge_fault_name(fault));
}

static void opening_runs_from_lined_to_lined(void **state) {
    (void)state;
    struct run run = quiet();
    begin(&run);
    raise_span(&run);
    assert_true(sim_world_run_to(&run.world, PHASE_OPEN, 200 * second));
    assert_true(place(&run) > 0.99);
    assert_int_equal(sim_world_ask(&run.world, REQUEST_LOWER, 0, 0), ANSWER_GRANTED);
    assert_true(sim_world_run_to(&run.world, PHASE_LINED, 200 * second));
    assert_true(place(&run) < 0.002);
    sim_world_stop(&run.world);
}

/* 49 CFR 236.312, from memory: rail within 3/8 in of correct surface and line, lock within 1 in of
 * its place; here at gauge 1, 1:32. The model's toe turns 2.3 m from the axis; the throw of its
 * lock bar is 20 mm, common practice, no source. */
static void span_and_lock_are_within_tolerance_when_signals_clear(void **state) {
    (void)state;
    const double rail_m = 3.0 / 8 * 0.0254 / 32;
    const double lock_m = 0.0254 / 32;
    struct run run = quiet();
    begin(&run);
    raise_span(&run);
    assert_true(sim_world_run_to(&run.world, PHASE_OPEN, 200 * second));
    assert_int_equal(sim_world_ask(&run.world, REQUEST_LOWER, 0, 0), ANSWER_GRANTED);
    const struct track_outputs *track = &run.world.outputs.track[0];
    for (unsigned tenths = 0; !track->end[0].signal_proceed; tenths++) {
        assert_true(tenths < 2000);
        sim_world_run_for(&run.world, second / 10);
    }
    const struct sim *world = simulated_world(run.world.port);
    assert_true(fabs(place(&run)) * run.simulation.lift.lift.travel * 2.3 <= rail_m);
    assert_true((1 - world->lock.driven_frac) * 0.02 <= lock_m);
    sim_world_stop(&run.world);
}

static void rest_wants_no_cycles(void **state) {
    (void)state;
    struct run run = quiet();
    begin(&run);
    sim_world_run_for(&run.world, 60 * second); /* approach locking runs after any start */
    unsigned cycles = run.world.cycles;
    sim_world_run_for(&run.world, 3600 * second);
    assert_true(run.world.cycles <= cycles + 2);
    assert_int_equal(run.world.ops->wake_us(run.world.port), UINT32_MAX);
    sim_world_stop(&run.world);
}

static void train_crosses_a_lined_bridge(void **state) {
    (void)state;
    struct run run = with_train();
    begin(&run);
    sim_world_run_for(&run.world, 60 * second);
    assert_true(sim_world_heard(&run.world, "freight from west leaves at the far end"));
    assert_int_equal(run.world.state.phase, PHASE_LINED);
    sim_world_stop(&run.world);
}

/* The whole point of the project, with the crew that looks and the one that does not. */
static void train_stops_before_an_open_span(void **state) {
    (void)state;
    for (int is_blind = 0; is_blind < 2; is_blind++) {
        struct run run = with_train();
        run.simulation.train[0].ignores_signals = is_blind;
        run.simulation.train[0].start_us = 60 * second;
        begin(&run);
        raise_span(&run);
        sim_world_run_for(&run.world, 120 * second);
        assert_true(sim_world_heard(&run.world, is_blind ? "stops: dead stop section"
                                                         : "freight from west stands"));
        assert_false(sim_world_is_wrecked(&run.world));
        sim_world_stop(&run.world);
    }
}

static void train_at_speed_gets_the_approach_lock_not_the_gap(void **state) {
    (void)state;
    struct run run = with_train();
    run.simulation.train[0].start_before_m = 2;
    run.simulation.train[0].start_us = 10 * second;
    run.simulation.train[0].ignores_signals = true;
    begin(&run);
    while (run.world.inputs.track[0].end[0].approach_clear == LEVEL_ON) {
        sim_world_run_for(&run.world, second / 10);
        assert_true(run.world.now_us < 60 * second);
    }
    raise_span(&run);
    sim_world_run_for(&run.world, 120 * second);
    assert_false(sim_world_is_wrecked(&run.world));
    assert_true(run.world.wrong_motion_us <= second / 10);
    sim_world_stop(&run.world);
}

/* Each fault, switched on at full speed or at rest, is found by the core as what it is. */
static void faults_are_found(void **state) {
    (void)state;
    static const struct {
        const char *words;
        enum bridge_fault fault;
    } cases[] = {
        {"fault jam 0.5 on", FAULT_STALL},
        {"fault jam on", FAULT_STALL},
        {"fault motor-open on", FAULT_NO_MOVEMENT},
        {"fault pinion-slips on", FAULT_NO_MOVEMENT},
        {"fault position-lost on", FAULT_INPUT_LOST},
        {"fault current-lost on", FAULT_INPUT_LOST},
        {"fault stop-circuit-broken on", FAULT_STOP_CIRCUIT},
        {"contact seated made", FAULT_CONTRADICTION},
        {"contact locked made", FAULT_CONTRADICTION},
        {"contact withdrawn open", FAULT_LOCK_UNPROVED},
        {"contact main.span open", FAULT_OVERRUN},
        {"contact seated broken", FAULT_INPUT_LOST},
        {"fault power-stuck-on main.span on", FAULT_POWER_UNPROVED},
        {"fault signal-at-proceed main.west on", FAULT_SIGNAL_UNPROVED},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct run run = quiet();
        begin(&run);
        raise_span(&run);
        assert_true(sim_world_run_to(&run.world, PHASE_RAISING, 60 * second));
        sim_world_run_for(&run.world, 10 * second);
        sim_world_tell(&run.world, cases[i].words);
        if (!sim_world_run_to(&run.world, PHASE_FAULT, 100 * second)) {
            fail_msg("%s: no fault", cases[i].words);
        }
        assert_fault(&run, cases[i].fault);
        sim_world_stop(&run.world);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(opening_runs_from_lined_to_lined),
        cmocka_unit_test(span_and_lock_are_within_tolerance_when_signals_clear),
        cmocka_unit_test(rest_wants_no_cycles),
        cmocka_unit_test(train_crosses_a_lined_bridge),
        cmocka_unit_test(train_stops_before_an_open_span),
        cmocka_unit_test(train_at_speed_gets_the_approach_lock_not_the_gap),
        cmocka_unit_test(faults_are_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
