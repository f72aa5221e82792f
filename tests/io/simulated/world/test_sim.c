/* The world as a whole: its time, its determinism, and how its parts are in one another's way. */
#include "io/simulated/world/sim.h"
#include "support/check.h"
#include "support/io/sim_world.h"

#include <math.h>
#include <string.h>

static const uint64_t second = 1000000;

static struct simulation_setup noisy(void) {
    struct simulation_setup setup = sim_world_simulation();
    setup.seed = 42;
    setup.lift.position_noise_frac = 0.001;
    setup.lift.current_noise_a = 0.05;
    setup.lift.starts_unlocked = true;
    setup.trains = 1;
    setup.train[0] = sim_world_train();
    return setup;
}

static void begin(struct sim *sim, const struct simulation_setup *setup) {
    /* One for all, so that worlds are alike in the bytes between its members, too. */
    static struct bridge_setup bridge;
    static bool is_made;
    if (!is_made) {
        bridge = sim_world_bridge();
        is_made = true;
    }
    struct error error = {.what = ""};
    if (!sim_begin(sim, &bridge, setup, &error)) {
        fail_msg("%s", error.what);
    }
    sim_advance(sim, 0);
}

static void drive(struct sim *sim, double effort, enum lock_drive lock) {
    const struct bridge_outputs outputs = {
        .lift_effort = effort, .brake_released = true, .lock = lock};
    sim_act(sim, &outputs);
}

/* The same seed and outputs at the same times: the same world to the last bit, however often
 * somebody looked; another seed: other noise, nothing else. */
static void same_seed_gives_the_same_world(void **state) {
    (void)state;
    static struct sim often, seldom, other;
    struct simulation_setup setup = noisy();
    begin(&often, &setup);
    begin(&seldom, &setup);
    setup.seed = 43;
    begin(&other, &setup);
    struct sim *all[] = {&often, &seldom, &other};
    for (size_t i = 0; i < 3; i++) {
        drive(all[i], 0.5, LOCK_DRIVE_REST);
    }
    struct bridge_inputs a, b, c;
    for (uint64_t t = 0; t <= 15 * second; t += 777) {
        sim_advance(&often, t);
        sim_sense(&often, &a);
    }
    for (size_t i = 0; i < 3; i++) {
        sim_advance(all[i], 15 * second);
    }
    memset(&a, 0, sizeof a);
    memset(&b, 0, sizeof b);
    sim_sense(&often, &a);
    sim_sense(&seldom, &b);
    sim_sense(&other, &c);
    assert_memory_equal(&often, &seldom, sizeof often);
    assert_memory_equal(&a, &b, sizeof a);
    assert_true(a.position_frac != c.position_frac && a.current_a != c.current_a);
    assert_true(sim_position_frac(&often) == sim_position_frac(&other));
    assert_true(sim_position_frac(&often) > 0.1);
}

static void long_gap_is_walked_in_few_steps(void **state) {
    (void)state;
    static struct sim walked, leapt;
    struct simulation_setup setup = noisy();
    setup.train[0].set_back_us = 5 * second;
    begin(&walked, &setup);
    begin(&leapt, &setup);
    drive(&walked, 0.3, LOCK_DRIVE_REST);
    drive(&leapt, 0.3, LOCK_DRIVE_REST);
    const uint64_t gap = 20 * SIM_STEPS_MAX * SIM_STEP_US; /* steps of up to 0.1 s */
    for (uint64_t t = 0; t <= gap; t += second) {
        sim_advance(&walked, t);
    }
    sim_advance(&walked, gap);
    sim_advance(&leapt, gap);
    assert_int_equal(leapt.world_us, walked.world_us);
    assert_true(fabs(sim_position_frac(&leapt) - sim_position_frac(&walked)) < 1e-3);
    assert_int_equal(leapt.train[0].mode, walked.train[0].mode);
    sim_advance(&leapt, gap + UINT64_C(1000) * 365 * 86400 * second); /* and no longer than this */
}

static void rest_is_slept_through_until_something_is_due(void **state) {
    (void)state;
    static struct sim sim;
    struct simulation_setup setup = sim_world_simulation();
    begin(&sim, &setup);
    assert_int_equal(sim_wake_us(&sim), UINT32_MAX);

    setup.trains = 1;
    setup.train[0] = sim_world_train();
    setup.train[0].start_us = 7200 * second; /* more than 2^32 us */
    begin(&sim, &setup);
    assert_int_equal(sim_wake_us(&sim), UINT32_MAX - 1);

    setup.train[0].start_us = 30 * second;
    begin(&sim, &setup);
    uint32_t wake_us = sim_wake_us(&sim);
    assert_true(wake_us >= 30 * second && wake_us <= 30 * second + 2 * SIM_STEP_US);
    sim_advance(&sim, wake_us);
    assert_int_equal(sim.train[0].mode, SIM_TRAIN_RUNNING);
    assert_int_equal(sim_wake_us(&sim), SIM_WAKE_US);

    /* Ten hours at a stroke: what moves after them is as exact as ever. */
    setup.train[0].start_us = 36000 * second;
    begin(&sim, &setup);
    sim_advance(&sim, 36002 * second);
    assert_true(fabs(sim.train[0].run.along_m - (1 + 0.5 * 2)) < 1e-9); /* 3 m before 4 m */
}

static void signal_is_proved_a_relay_time_later(void **state) {
    (void)state;
    static struct sim sim;
    const struct simulation_setup setup = sim_world_simulation();
    begin(&sim, &setup);
    struct bridge_outputs outputs = {0};
    outputs.track[0].end[1].signal_proceed = true;
    sim_act(&sim, &outputs);
    static const struct {
        uint32_t wait_us;
        enum level at_stop;
    } rows[] = {{40000, LEVEL_ON}, {20000, LEVEL_OFF}, {40000, LEVEL_OFF}, {20000, LEVEL_ON}};
    uint64_t now_us = 0;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (i == 2) {
            outputs.track[0].end[1].signal_proceed = false;
            sim_act(&sim, &outputs);
            assert_true(sim_wake_us(&sim) <= 60000);
        }
        now_us += rows[i].wait_us;
        sim_advance(&sim, now_us);
        struct bridge_inputs in;
        sim_sense(&sim, &in);
        assert_int_equal(in.track[0].end[1].signal_at_stop, rows[i].at_stop);
        assert_int_equal(in.track[0].end[0].signal_at_stop, LEVEL_ON);
    }
}

static void power_feedback_follows_the_outputs(void **state) {
    (void)state;
    static struct sim sim;
    const struct simulation_setup setup = sim_world_simulation();
    begin(&sim, &setup);
    struct bridge_outputs outputs = {0};
    outputs.track[0].end[1].stop_power = true;
    outputs.track[0].span_power = true;
    sim_act(&sim, &outputs);
    struct bridge_inputs in;
    sim_sense(&sim, &in);
    assert_int_equal(in.track[0].end[0].stop_dead, LEVEL_ON);
    assert_int_equal(in.track[0].end[1].stop_dead, LEVEL_OFF);
    assert_int_equal(in.track[0].span_dead, LEVEL_OFF);
}

static void bar_takes_its_time_and_shows_it(void **state) {
    (void)state;
    static struct sim sim;
    const struct simulation_setup setup = sim_world_simulation(); /* 1 s, the default */
    begin(&sim, &setup);
    drive(&sim, 0, LOCK_DRIVE_WITHDRAWN);
    struct bridge_inputs in;
    sim_advance(&sim, second / 2);
    sim_sense(&sim, &in);
    assert_true(in.locked == LEVEL_OFF && in.withdrawn == LEVEL_OFF);
    drive(&sim, 0, LOCK_DRIVE_REST);
    sim_advance(&sim, 2 * second);
    sim_sense(&sim, &in);
    assert_true(in.locked == LEVEL_OFF && in.withdrawn == LEVEL_OFF);
    drive(&sim, 0, LOCK_DRIVE_WITHDRAWN);
    sim_advance(&sim, 5 * second / 2);
    sim_sense(&sim, &in);
    assert_int_equal(in.withdrawn, LEVEL_ON);
    drive(&sim, 0, LOCK_DRIVE_DRIVEN);
    sim_advance(&sim, 4 * second);
    sim_sense(&sim, &in);
    assert_int_equal(in.locked, LEVEL_ON);
    assert_int_equal(sim_wake_us(&sim), UINT32_MAX);
}

static void bar_holds_the_span_and_stalls_the_motor(void **state) {
    (void)state;
    static struct sim sim;
    const struct simulation_setup setup = sim_world_simulation();
    begin(&sim, &setup);
    drive(&sim, 0.5, LOCK_DRIVE_REST);
    sim_advance(&sim, 10 * second);
    struct bridge_inputs in;
    sim_sense(&sim, &in);
    assert_int_equal(in.seated, LEVEL_ON);
    /* V/R = 6 V x 42 A / 12 V, from the RS-540 sheet in sim_world.c */
    assert_true(fabs(in.current_a - 21) < 1e-6);
}

static void driven_bar_keeps_a_raised_span_off_its_seat(void **state) {
    (void)state;
    static struct sim sim;
    struct simulation_setup setup = sim_world_simulation();
    setup.lift.starts_unlocked = true;
    setup.lift.start_frac = 0.1;
    begin(&sim, &setup);
    drive(&sim, -0.5, LOCK_DRIVE_DRIVEN);
    sim_advance(&sim, 30 * second);
    struct bridge_inputs in;
    sim_sense(&sim, &in);
    assert_int_equal(in.locked, LEVEL_ON);
    assert_int_equal(in.seated, LEVEL_OFF);
    assert_int_equal(in.nearly_seated, LEVEL_ON);
}

static void fault_of_the_setup_comes_at_its_time(void **state) {
    (void)state;
    static struct sim sim;
    struct simulation_setup setup = sim_world_simulation();
    setup.faults = 2;
    setup.fault[0] = (struct simulation_fault){.words = "contact-open seated"};
    setup.fault[1] = (struct simulation_fault){.words = "stop-circuit-broken", .after_us = second};
    begin(&sim, &setup);
    struct bridge_inputs in;
    sim_sense(&sim, &in);
    assert_true(in.seated == LEVEL_OFF && in.stop_circuit == LEVEL_ON);
    assert_true(sim_wake_us(&sim) <= second + 2 * SIM_STEP_US);
    sim_advance(&sim, second + SIM_STEP_US);
    sim_sense(&sim, &in);
    assert_int_equal(in.stop_circuit, LEVEL_OFF);
}

static void time_may_begin_anywhere(void **state) {
    (void)state;
    static struct sim sim;
    const struct simulation_setup setup = noisy();
    const struct bridge_setup bridge = sim_world_bridge();
    assert_true(sim_begin(&sim, &bridge, &setup, NULL));
    sim_advance(&sim, UINT64_MAX - 100 * second);
    assert_int_equal(sim.world_us, 0);
    sim_advance(&sim, UINT64_MAX - 90 * second);
    assert_int_equal(sim.world_us, 10 * second);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(same_seed_gives_the_same_world),
        cmocka_unit_test(long_gap_is_walked_in_few_steps),
        cmocka_unit_test(rest_is_slept_through_until_something_is_due),
        cmocka_unit_test(signal_is_proved_a_relay_time_later),
        cmocka_unit_test(power_feedback_follows_the_outputs),
        cmocka_unit_test(bar_takes_its_time_and_shows_it),
        cmocka_unit_test(bar_holds_the_span_and_stalls_the_motor),
        cmocka_unit_test(driven_bar_keeps_a_raised_span_off_its_seat),
        cmocka_unit_test(fault_of_the_setup_comes_at_its_time),
        cmocka_unit_test(time_may_begin_anywhere),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
