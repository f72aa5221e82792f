/* What is reckoned from a configuration against what its simulated bridge does: times, currents,
 * and the binding watch that lives on both. */
#include "config/config.h"
#include "core/words/names.h"
#include "mechanics/sizing.h"
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/io/sim_world.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const uint64_t second = 1000000;
static const char *const powered[] = {"kettle-narrows", "harbor-lift", "mill-swing"};
enum { POWERED = sizeof powered / sizeof powered[0] };

struct run {
    struct config config;
    struct config_report report;
    struct sim_world world;
};

static struct run *read_example(const char *name) {
    char path[256];
    struct run *run = calloc(1, sizeof *run);
    assert_non_null(run);
    snprintf(path, sizeof path, SOURCE_DIR "/config/%s.json", name);
    if (!config_read_file(path, &run->config, &run->report)) {
        config_text_print(&run->report.errors);
        fail();
    }
    run->config.bridge[0].simulation.trains = 0;
    return run;
}

static const struct sizing_given *given(const struct run *run) {
    return &run->config.bridge[0].sizing;
}

static const struct motion_setup *motion(const struct run *run) {
    return &run->config.net.bridge[0].setup.motion;
}

static void start(struct run *run) {
    sim_world_start(&run->world, &run->config.net.bridge[0].setup,
                    &run->config.bridge[0].simulation);
    assert_true(sim_world_run_to(&run->world, PHASE_LINED, 10 * second));
}

static void end(struct run *run) {
    sim_world_stop(&run->world);
    free(run);
}

static void run_to(struct run *run, enum bridge_phase phase) {
    if (!sim_world_run_to(&run->world, phase, 300 * second)) {
        fail_msg("stays in phase %s, fault %s", bridge_phase_name(run->world.state.phase),
                 bridge_fault_name(run->world.state.fault));
    }
}

/* Where the lift is under way, no longer starting or stopping: the current that the motor takes. */
static double current_at(struct run *run, double position_frac) {
    int way = position_frac > run->world.state.motion.position_frac ? 1 : -1;
    while (way * (position_frac - run->world.state.motion.position_frac) > 0) {
        sim_world_run_for(&run->world, second / 100);
        assert_true(run->world.state.phase == PHASE_RAISING ||
                    run->world.state.phase == PHASE_LOWERING);
    }
    return run->world.inputs.current_a;
}

static double reckoned_a(const struct run *run, double position_frac, int way,
                         enum chain_friction friction) {
    const struct chain *chain = &given(run)->chain;
    const struct chain_move move = {position_frac * chain->lift.travel, way, friction, 0};
    return chain_current_a(chain, &move);
}

/* The simulated worm has a friction midway between the least and the most. Noise and slow changes
 * of speed: some hundredths of an ampere. */
static void currents_are_between_those_of_least_and_most_friction(void **state) {
    (void)state;
    static const double places[] = {0.3, 0.5, 0.7};
    for (int i = 0; i < POWERED; i++) {
        struct run *run = read_example(powered[i]);
        run->config.bridge[0].simulation.lift.current_noise_a = 0;
        start(run);
        for (int way = 1; way >= -1; way -= 2) {
            sim_world_ask(&run->world, way > 0 ? REQUEST_RAISE : REQUEST_LOWER, 0, 0);
            run_to(run, way > 0 ? PHASE_RAISING : PHASE_LOWERING);
            for (int p = 0; p < 3; p++) {
                double at = way > 0 ? places[p] : places[2 - p];
                double found = current_at(run, at);
                if (found < reckoned_a(run, at, way, CHAIN_LEAST) - 0.03 ||
                    found > reckoned_a(run, at, way, CHAIN_MOST) + 0.03) {
                    fail_msg("%s takes %g A at %g, way %d", powered[i], found, at, way);
                }
            }
            run_to(run, way > 0 ? PHASE_OPEN : PHASE_LINED);
        }
        end(run);
    }
}

static double time_to(struct run *run, enum bridge_phase phase) {
    uint64_t start_us = run->world.now_us;
    run_to(run, phase);
    return (double)(run->world.now_us - start_us) / 1e6;
}

/* The motor's speed follows its effort, not exactly: within a sixth. */
static void times_are_as_reckoned(void **state) {
    (void)state;
    for (int i = 0; i < POWERED; i++) {
        struct run *run = read_example(powered[i]);
        struct sizing sizing = sizing_of(given(run));
        start(run);
        sim_world_ask(&run->world, REQUEST_RAISE, 0, 0);
        run_to(run, PHASE_RAISING);
        double raising_s = time_to(run, PHASE_OPEN);
        sim_world_ask(&run->world, REQUEST_LOWER, 0, 0);
        run_to(run, PHASE_LOWERING);
        double lowering_s = time_to(run, PHASE_LOCKING);
        end(run);
        if (fabs(raising_s / sizing.up.duration_s - 1) > 1 / 6.0 ||
            fabs(lowering_s / sizing.down.duration_s - 1) > 1 / 6.0) {
            fail_msg("%s raised in %.1f s and lowered in %.1f s, not %.1f and %.1f", powered[i],
                     raising_s, lowering_s, sizing.up.duration_s, sizing.down.duration_s);
        }
    }
}

/* The watch: below it with every credible friction, above it once something rubs. */
static void watch_lies_above_credible_friction(void **state) {
    (void)state;
    for (int i = 0; i < POWERED; i++) {
        struct run *run = read_example(powered[i]);
        const struct motion_setup *watch = motion(run);
        assert_true(watch->binding_us > 0);
        for (int p = 0; p < MOTION_PLACES; p++) {
            double at = p / (MOTION_PLACES - 1.0);
            for (int way = 1; way >= -1; way -= 2) {
                double limit_a = watch->expected_a[way < 0][p] + watch->binding_a;
                assert_true(reckoned_a(run, at, way, CHAIN_FROM_REST) < limit_a);
                assert_true(reckoned_a(run, at, way, CHAIN_MOST) <=
                            watch->expected_a[way < 0][p] + 1e-12);
            }
        }
        assert_true(watch->binding_a < watch->stall_a);
        free(run);
    }
}

/* So many times the friction it should have, and less than a stall takes. */
static void bridge_that_rubs_is_found_binding(void **state) {
    (void)state;
    static const double times[POWERED] = {12, 12, 6};
    for (int i = 0; i < POWERED; i++) {
        struct run *run = read_example(powered[i]);
        struct simulation_lift *lift = &run->config.bridge[0].simulation.lift;
        lift->friction_running *= times[i];
        lift->friction_static *= times[i];
        start(run);
        sim_world_ask(&run->world, REQUEST_RAISE, 0, 0);
        run_to(run, PHASE_FAULT);
        assert_string_equal(bridge_fault_name(run->world.state.fault), "binding");
        end(run);
    }
}

static void watch_is_off_without_a_current_sensor_and_set_by_hand(void **state) {
    (void)state;
    static struct config config;
    static struct config_report report;
    static const struct {
        const char *where, *value;
        double binding_a;
        uint32_t binding_us;
    } rows[] = {
        {"/bridges/0/sensors/current", "false", 0, 0},
        {"/bridges/0/motion/binding margin", "\"700 mA\"", 0.7, 1000000},
        {"/bridges/0/motion/binding time", "\"250 ms\"", NAN, 250000},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char *text = config_text_of_file(SOURCE_DIR "/config/kettle-narrows.json");
        cJSON *tree = cJSON_Parse(text);
        config_text_patch(tree, rows[i].where, rows[i].value);
        char *patched = cJSON_PrintUnformatted(tree);
        assert_true(config_read_text(patched, strlen(patched), &config, &report));
        const struct motion_setup *watch = &config.net.bridge[0].setup.motion;
        assert_int_equal(watch->binding_us, rows[i].binding_us);
        assert_true(isnan(rows[i].binding_a) || fabs(watch->binding_a - rows[i].binding_a) < 1e-12);
        cJSON_free(patched);
        cJSON_Delete(tree);
        free(text);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(currents_are_between_those_of_least_and_most_friction),
        cmocka_unit_test(times_are_as_reckoned),
        cmocka_unit_test(watch_lies_above_credible_friction),
        cmocka_unit_test(bridge_that_rubs_is_found_binding),
        cmocka_unit_test(watch_is_off_without_a_current_sensor_and_set_by_hand),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
