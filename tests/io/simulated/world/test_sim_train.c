/* Trains on the track of Kettle Narrows (approach 4 m, stop section 1.5 m, span 2.4 m; the same
 * beyond), with outputs of the test's own. */
#include "io/simulated/world/sim.h"
#include "io/simulated/world/sim_train.h"
#include "support/check.h"
#include "support/io/sim_world.h"

#include <math.h>
#include <string.h>

static const uint64_t second = 1000000;

struct scene {
    struct sim sim;
    struct bridge_outputs outputs;
    uint64_t now_us;
};

/* All signals at proceed, all sections live. */
static struct bridge_outputs all_clear(void) {
    struct bridge_outputs outputs = {0};
    outputs.track[0] = (struct track_outputs){.end = {{true, true}, {true, true}}, .span_power = 1};
    return outputs;
}

static struct simulation_setup with_train(void) {
    struct simulation_setup setup = sim_world_simulation();
    setup.trains = 1;
    setup.train[0] = sim_world_train();
    return setup;
}

static void begin(struct scene *scene, const struct simulation_setup *setup,
                  const struct bridge_outputs *outputs) {
    const struct bridge_setup bridge = sim_world_bridge();
    memset(scene, 0, sizeof *scene);
    assert_true(sim_begin(&scene->sim, &bridge, setup, NULL));
    scene->outputs = *outputs;
    sim_advance(&scene->sim, 0);
    sim_act(&scene->sim, outputs);
}

static void run(struct scene *scene, uint64_t time_us) {
    scene->now_us += time_us;
    sim_advance(&scene->sim, scene->now_us);
}

static const struct sim_train *train(const struct scene *scene) {
    return &scene->sim.train[0];
}

static bool heard(struct scene *scene, const char *wanted) {
    bool is_heard = false;
    for (const char *line = sim_news_take(&scene->sim.news); line != NULL;
         line = sim_news_take(&scene->sim.news)) {
        is_heard = is_heard || strcmp(line, wanted) == 0;
    }
    return is_heard;
}

static void occupancy_follows_every_part_of_the_train(void **state) {
    (void)state;
    /* Fronts and tails (1.2 m behind) at 0.5 m/s from 3 m before the signal, after 1 s: sections
     * begin and end at 0, 4, 5.5, 7.9, 9.4 and 13.4 m. */
    static const struct {
        double time_s;
        bool approach_0, stop_0, span, stop_1, approach_1;
    } rows[] = {
        {0.5, 0, 0, 0, 0, 0},  {1.5, 1, 0, 0, 0, 0},  {6.9, 1, 0, 0, 0, 0},  {7.1, 1, 1, 0, 0, 0},
        {9.3, 1, 1, 0, 0, 0},  {9.5, 0, 1, 0, 0, 0},  {10.1, 0, 1, 1, 0, 0}, {12.5, 0, 0, 1, 0, 0},
        {15, 0, 0, 1, 1, 0},   {17.3, 0, 0, 0, 1, 0}, {18, 0, 0, 0, 1, 1},   {20.3, 0, 0, 0, 0, 1},
        {28.1, 0, 0, 0, 0, 1}, {28.3, 0, 0, 0, 0, 0},
    };
    for (unsigned from = 0; from < TRACK_ENDS; from++) {
        struct simulation_setup setup = with_train();
        setup.train[0].from_end = from;
        struct scene scene;
        const struct bridge_outputs outputs = all_clear();
        begin(&scene, &setup, &outputs);
        for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
            run(&scene, (uint64_t)(rows[i].time_s * 1e6) - scene.now_us);
            struct bridge_inputs in;
            sim_sense(&scene.sim, &in);
            const struct track_end_inputs *near = &in.track[0].end[from];
            const struct track_end_inputs *far = &in.track[0].end[1 - from];
            bool is_as_wanted = (near->approach_clear == LEVEL_OFF) == rows[i].approach_0 &&
                                (near->stop_clear == LEVEL_OFF) == rows[i].stop_0 &&
                                (in.track[0].span_clear == LEVEL_OFF) == rows[i].span &&
                                (far->stop_clear == LEVEL_OFF) == rows[i].stop_1 &&
                                (far->approach_clear == LEVEL_OFF) == rows[i].approach_1;
            if (!is_as_wanted) {
                fail_msg("from end %u at %g s", from, rows[i].time_s);
            }
        }
        assert_int_equal(train(&scene)->mode, SIM_TRAIN_AWAY);
        assert_false(scene.sim.has_wrecked);
    }
}

static void crew_stops_at_the_signal_and_starts_when_it_clears(void **state) {
    (void)state;
    const struct simulation_setup setup = with_train();
    struct scene scene;
    struct bridge_outputs outputs = all_clear();
    outputs.track[0].end[0].signal_proceed = false;
    begin(&scene, &setup, &outputs);
    struct bridge_inputs in;
    run(&scene, 3 * second);
    sim_sense(&scene.sim, &in);
    assert_int_equal(in.track[0].end[0].standing, LEVEL_OFF);
    run(&scene, 27 * second);
    sim_sense(&scene.sim, &in);
    assert_int_equal(in.track[0].end[0].standing, LEVEL_ON);
    assert_int_equal(in.track[0].end[0].stop_clear, LEVEL_ON);
    assert_true(train(&scene)->run.along_m < 4 && train(&scene)->run.along_m > 3.95);
    assert_int_equal(sim_wake_us(&scene.sim), UINT32_MAX);

    outputs.track[0].end[0].signal_proceed = true;
    sim_act(&scene.sim, &outputs);
    assert_int_equal(sim_wake_us(&scene.sim), SIM_WAKE_US);
    run(&scene, 10 * second);
    assert_true(train(&scene)->run.speed_m_s > 0.49);
    assert_true(heard(&scene, "freight from west starts"));
}

/* Front at the signal at 7 s: dead rail, v^2 / 2a = 0.25 / 0.4 = 0.625 m of coasting, which begins
 * when all of the pickup, 0.2 m, is in. */
static void dead_section_stops_a_blind_train(void **state) {
    (void)state;
    struct simulation_setup setup = with_train();
    setup.train[0].ignores_signals = true;
    setup.train[0].set_back_us = 5 * second;
    struct scene scene;
    struct bridge_outputs outputs = {0};
    begin(&scene, &setup, &outputs);
    run(&scene, 12 * second);
    assert_int_equal(train(&scene)->mode, SIM_TRAIN_DEAD);
    /* one step's way, 2.5 mm, for when it is noticed */
    assert_true(fabs(train(&scene)->run.along_m - (4 + 0.2 + 0.625)) < 0.0026);
    assert_true(heard(&scene, "freight from west stops: dead stop section"));

    run(&scene, 20 * second);
    assert_true(train(&scene)->run.along_m < 4);
    struct bridge_inputs in;
    sim_sense(&scene.sim, &in);
    assert_int_equal(in.track[0].end[0].stop_clear, LEVEL_ON);
}

static void dead_train_runs_on_when_current_returns(void **state) {
    (void)state;
    struct simulation_setup setup = with_train();
    setup.train[0].ignores_signals = true;
    struct scene scene;
    struct bridge_outputs outputs = {0};
    begin(&scene, &setup, &outputs);
    run(&scene, 60 * second);
    assert_int_equal(train(&scene)->mode, SIM_TRAIN_DEAD);
    assert_int_equal(sim_wake_us(&scene.sim), UINT32_MAX); /* nobody sets it back */
    outputs = all_clear();
    sim_act(&scene.sim, &outputs);
    run(&scene, 60 * second);
    assert_true(heard(&scene, "freight from west leaves at the far end"));
}

static void long_pickup_bridges_a_short_dead_section(void **state) {
    (void)state;
    struct simulation_setup setup = with_train();
    setup.train[0].ignores_signals = true;
    setup.track[0].stop_m[0] = 0.15; /* shorter than the pickup: 0.2 m */
    struct scene scene;
    struct bridge_outputs outputs = all_clear();
    outputs.track[0].end[0].stop_power = false;
    begin(&scene, &setup, &outputs);
    run(&scene, 60 * second);
    assert_true(heard(&scene, "freight from west leaves at the far end"));
}

static void train_on_the_span_while_it_is_up_is_wrecked(void **state) {
    (void)state;
    struct simulation_setup setup = with_train();
    setup.lift.start_frac = 0.5;
    setup.lift.starts_unlocked = true;
    struct scene scene;
    const struct bridge_outputs outputs = all_clear();
    begin(&scene, &setup, &outputs);
    run(&scene, 9 * second);
    assert_false(scene.sim.has_wrecked);
    run(&scene, 60 * second);
    assert_true(scene.sim.has_wrecked);
    assert_int_equal(train(&scene)->mode, SIM_TRAIN_WRECKED);
    assert_true(fabs(train(&scene)->run.along_m - 5.5) < 0.01);
    struct bridge_inputs in;
    sim_sense(&scene.sim, &in);
    assert_int_equal(in.track[0].span_clear, LEVEL_OFF);
}

/* Current goes while it is nearly over: it is pushed on, clear of the bridge, not back. */
static void train_nearly_over_is_pushed_clear(void **state) {
    (void)state;
    struct simulation_setup setup = with_train();
    setup.train[0].set_back_us = second;
    struct scene scene;
    struct bridge_outputs outputs = all_clear();
    begin(&scene, &setup, &outputs);
    run(&scene, 15 * second); /* the front is a metre into the far stop section */
    outputs = (struct bridge_outputs){0};
    sim_act(&scene.sim, &outputs);
    run(&scene, 60 * second);
    assert_true(heard(&scene, "freight from west leaves at the far end"));
}

static void train_put_down_near_its_signal_comes_slowly(void **state) {
    (void)state;
    struct simulation_setup setup = with_train();
    setup.train[0].start_before_m = 0.2; /* less than v^2 / 2a = 0.417 m */
    struct scene scene;
    struct bridge_outputs outputs = {0};
    begin(&scene, &setup, &outputs);
    run(&scene, 20 * second);
    assert_true(train(&scene)->run.along_m < 4);
}

static void train_comes_back_after_its_interval(void **state) {
    (void)state;
    struct simulation_setup setup = with_train();
    setup.train[0].return_us = 100 * second;
    struct scene scene;
    const struct bridge_outputs outputs = all_clear();
    begin(&scene, &setup, &outputs);
    run(&scene, 100 * second); /* gone at about 28 s */
    assert_int_equal(train(&scene)->mode, SIM_TRAIN_AWAY);
    run(&scene, 35 * second);
    assert_int_equal(train(&scene)->mode, SIM_TRAIN_RUNNING);
}

static void crew_stops_behind_the_train_ahead(void **state) {
    (void)state;
    struct simulation_setup setup = with_train();
    setup.trains = 2;
    setup.train[1] = setup.train[0];
    memcpy(setup.train[1].name, "local", sizeof "local");
    setup.train[1].start_us = 5 * second;
    struct scene scene;
    struct bridge_outputs outputs = all_clear();
    outputs.track[0].end[0].signal_proceed = false;
    begin(&scene, &setup, &outputs);
    run(&scene, 40 * second);
    double tail = scene.sim.train[0].run.along_m - setup.train[0].length_m;
    assert_true(scene.sim.train[1].run.speed_m_s == 0);
    assert_true(scene.sim.train[1].run.along_m < tail);
    assert_true(scene.sim.train[1].run.along_m > tail - 0.05);
}

static void commands_move_the_train(void **state) {
    (void)state;
    const struct simulation_setup setup = with_train();
    struct scene scene;
    const struct bridge_outputs outputs = all_clear();
    begin(&scene, &setup, &outputs);
    struct error error;
    assert_false(sim_command(&scene.sim, "train freight stop", &error)); /* not there yet */
    run(&scene, 3 * second);
    assert_false(sim_command(&scene.sim, "train freight reverse", &error)); /* it moves */
    double along = train(&scene)->run.along_m;
    assert_true(sim_command(&scene.sim, "train freight stop", &error));
    run(&scene, 10 * second);
    /* v^2 / 2a = 0.25 / 0.6, first principles */
    assert_true(fabs(train(&scene)->run.along_m - along - 0.416666667) < 1e-6);

    assert_true(sim_command(&scene.sim, "train freight reverse", &error));
    run(&scene, 60 * second);
    assert_true(heard(&scene, "freight from east leaves at the far end")); /* west, as it came */

    assert_true(sim_command(&scene.sim, "train freight start", &error));
    run(&scene, second);
    assert_int_equal(train(&scene)->mode, SIM_TRAIN_RUNNING);
    assert_true(sim_command(&scene.sim, "train freight gone", &error));
    assert_int_equal(train(&scene)->mode, SIM_TRAIN_AWAY);
    run(&scene, 600 * second);
    assert_int_equal(train(&scene)->mode, SIM_TRAIN_AWAY);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(occupancy_follows_every_part_of_the_train),
        cmocka_unit_test(crew_stops_at_the_signal_and_starts_when_it_clears),
        cmocka_unit_test(dead_section_stops_a_blind_train),
        cmocka_unit_test(dead_train_runs_on_when_current_returns),
        cmocka_unit_test(long_pickup_bridges_a_short_dead_section),
        cmocka_unit_test(train_on_the_span_while_it_is_up_is_wrecked),
        cmocka_unit_test(train_nearly_over_is_pushed_clear),
        cmocka_unit_test(train_put_down_near_its_signal_comes_slowly),
        cmocka_unit_test(train_comes_back_after_its_interval),
        cmocka_unit_test(crew_stops_behind_the_train_ahead),
        cmocka_unit_test(commands_move_the_train),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
