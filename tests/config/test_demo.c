/* The examples in closed loop with the core and the simulated world: a configuration that reads
 * well must also work. */
#include "config/config.h"
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/io/sim_world.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const uint64_t second = 1000000;

struct run {
    struct config config;
    struct config_report report;
    struct sim_world world;
};

static struct run *begin(const char *name, bool has_trains) {
    char path[256];
    struct run *run = calloc(1, sizeof *run);
    assert_non_null(run);
    snprintf(path, sizeof path, SOURCE_DIR "/config/%s.json", name);
    if (!config_read_file(path, &run->config, &run->report)) {
        config_text_print(&run->report.errors);
        fail();
    }
    if (!has_trains) {
        run->config.bridge[0].simulation.trains = 0;
    }
    sim_world_start(&run->world, &run->config.net.bridge[0].setup,
                    &run->config.bridge[0].simulation);
    assert_true(sim_world_run_to(&run->world, PHASE_LINED, 10 * second));
    return run;
}

static void end(struct run *run) {
    sim_world_stop(&run->world);
    free(run);
}

static uint64_t time_to(struct run *run, enum bridge_phase phase) {
    uint64_t start_us = run->world.now_us;
    if (!sim_world_run_to(&run->world, phase, 300 * second)) {
        fail_msg("stays in phase %d, fault %d", (int)run->world.state.phase,
                 (int)run->world.state.fault);
    }
    return run->world.now_us - start_us;
}

static void ask(struct run *run, enum bridge_request_kind kind) {
    assert_int_equal(sim_world_ask(&run->world, kind, 0, 0), ANSWER_GRANTED);
}

static void open_and_close(struct run *run, double least_s, double most_s) {
    ask(run, REQUEST_RAISE);
    time_to(run, PHASE_RAISING);
    double raising_s = (double)time_to(run, PHASE_OPEN) / 1e6;
    if (raising_s < least_s || raising_s > most_s) {
        fail_msg("raised in %.1f s", raising_s);
    }
    ask(run, REQUEST_LOWER);
    time_to(run, PHASE_LINED);
}

static void kettle_narrows_opens_in_less_than_a_minute(void **state) {
    (void)state;
    struct run *run = begin("kettle-narrows", false);
    open_and_close(run, 40, 60);
    end(run);
}

/* The story of the demo: a crew that does not look for the signal. */
static void local_freight_dies_is_set_back_and_runs_over_later(void **state) {
    (void)state;
    struct run *run = begin("kettle-narrows", true);
    sim_world_tell(&run->world, "fault train-ignores-signals local-freight on");
    sim_world_run_for(&run->world, 6 * second);
    ask(run, REQUEST_RAISE);
    time_to(run, PHASE_FAULT);
    assert_int_equal(run->world.state.fault, FAULT_OVERRUN);
    sim_world_run_for(&run->world, 60 * second);
    assert_false(sim_world_is_wrecked(&run->world));
    ask(run, REQUEST_ACKNOWLEDGE);
    ask(run, REQUEST_RAISE);
    time_to(run, PHASE_OPEN);
    ask(run, REQUEST_LOWER);
    time_to(run, PHASE_LINED);
    sim_world_run_for(&run->world, 120 * second);
    assert_true(sim_world_heard(&run->world, "leaves at the far end"));
    assert_int_equal(run->world.state.phase, PHASE_LINED);
    end(run);
}

static void harbor_lift_works_without_a_position_sensor(void **state) {
    (void)state;
    struct run *run = begin("harbor-lift", false);
    open_and_close(run, 30, 60);
    end(run);
}

static void mill_swing_turns_and_comes_back(void **state) {
    (void)state;
    struct run *run = begin("mill-swing", false);
    open_and_close(run, 35, 80);
    end(run);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(kettle_narrows_opens_in_less_than_a_minute),
        cmocka_unit_test(local_freight_dies_is_set_back_and_runs_over_later),
        cmocka_unit_test(harbor_lift_works_without_a_position_sensor),
        cmocka_unit_test(mill_swing_turns_and_comes_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
