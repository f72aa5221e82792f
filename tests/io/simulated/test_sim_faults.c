/* Every fault, by its name, changes exactly what it says and nothing else, and is mended again. */
#include "io/simulated/sim_faults.h"
#include "io/simulated/world/sim.h"
#include "io/simulated/world/sim_inputs.h"
#include "support/check.h"
#include "support/io/sim_world.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const uint64_t second = 1000000;

/* What can be seen of the world from outside. */
struct sight {
    struct bridge_inputs inputs;
    double position_frac, motor_rad_s, lock_frac, train_m, train_m_s;
};

/* A bridge that does all at once, which no bridge may: half open and rising, the bar half way, a
 * train passing a signal at stop into a live section. */
static void begin(struct sim *sim) {
    struct simulation_setup setup = sim_world_simulation();
    const struct bridge_setup bridge = sim_world_bridge();
    setup.lift.start_frac = 0.4;
    setup.lift.starts_unlocked = true;
    setup.lift.brake_torque_nm = 1;
    setup.lift.lock_travel_us = 20000000;
    setup.trains = 1;
    setup.train[0] = sim_world_train();
    setup.train[0].start_us = 0;
    setup.train[0].start_before_m = 1.5;
    assert_true(sim_begin(sim, &bridge, &setup, NULL));
    struct bridge_outputs outputs = {
        .lift_effort = 0.5, .brake_released = true, .lock = LOCK_DRIVE_DRIVEN};
    outputs.track[0].end[0].stop_power = true;
    sim_advance(sim, 0);
    sim_act(sim, &outputs);
    sim_advance(sim, second);
}

static struct sight look(const struct sim *sim) {
    struct sight sight;
    memset(&sight, 0, sizeof sight);
    sim_sense(sim, &sight.inputs);
    sight.position_frac = sim_position_frac(sim);
    sight.motor_rad_s = sim->lift.motor_rad_s;
    sight.lock_frac = sim->lock.driven_frac;
    sight.train_m = sim->train[0].run.along_m;
    sight.train_m_s = sim->train[0].run.speed_m_s;
    return sight;
}

static bool same(double a, double b) {
    return a == b || (isnan(a) && isnan(b));
}

/* The names of what differs, in a fixed order, each followed by a space. */
static void differences(const struct sim *sim, struct sight *a, struct sight *b, char *text,
                        size_t size) {
    const struct {
        const char *name;
        double a, b;
    } values[] = {
        {"position", a->inputs.position_frac, b->inputs.position_frac},
        {"current", a->inputs.current_a, b->inputs.current_a},
        {"lost", a->inputs.is_device_lost, b->inputs.is_device_lost},
        {"Leaf", a->position_frac, b->position_frac},
        {"Motor", a->motor_rad_s, b->motor_rad_s},
        {"Lock", a->lock_frac, b->lock_frac},
        {"Train", a->train_m, b->train_m},
    };
    size_t at = 0;
    text[0] = '\0';
    for (unsigned i = 0; i < lines_levels(1); i++) {
        if (*lines_level(&a->inputs, i) != *lines_level(&b->inputs, i)) {
            char name[LINE_NAME_SIZE];
            sim_inputs_name(sim->setup.track, i, name);
            at += (size_t)snprintf(text + at, size - at, "%s ", name);
        }
    }
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        if (!same(values[i].a, values[i].b)) {
            at += (size_t)snprintf(text + at, size - at, "%s ", values[i].name);
        }
    }
}

static void each_fault_changes_what_it_says(void **state) {
    (void)state;
    static const struct {
        const char *words;   /* without on or off */
        const char *at_once; /* differences from the sound world at the same time */
        const char *later;   /* and some seconds on, while the sound world goes on */
    } cases[] = {
        {"contact-made seated", "seated ", "seated "},
        {"contact-open within-travel", "within-travel ", "within-travel "},
        {"contact-broken main.east.stop", "main.east.stop ", "main.east.stop "},
        {"contact-open stop-circuit", "stop-circuit ", "stop-circuit "},
        {"contact-flapping seated", "seated ", ""},
        {"contact-late main.west.approach", "", ""},
        {"contact-inverted seated", "seated ", "seated "},
        {"contact-inverted within-travel", "within-travel ", "within-travel "},
        {"jam", "", "position current Leaf Motor "},
        {"jam 0.42", "", "position current Leaf Motor "},
        {"jam 0.9", "", ""},
        {"motor-open", "current ", "position current Leaf Motor "},
        {"motor-reversed", "current ", "position current Leaf Motor "},
        {"motor-runs-on", "", ""},
        {"pinion-slips", "", "position current Leaf Motor "},
        {"brake-stuck", "", "position current Leaf Motor "},
        {"lock-stuck", "", "Lock "},
        {"lock-withdraws", "", "withdrawn Lock "},
        {"signal-at-stop main.west", "", ""},
        {"power-dead main.west.stop", "main.west.power ", "main.west.power "},
        {"power-dead main.span", "", ""},
        {"signal-at-proceed main.west", "",
         "main.west.standing main.west.stop main.west.signal Train "},
        {"signal-at-proceed main.east", "", "main.east.signal "},
        {"power-stuck-on main.east.stop", "main.east.power ", "main.east.power "},
        {"power-stuck-on main.span", "main.span-power ", "main.span-power "},
        {"current-dead", "current ", "current "},
        {"current-lost", "current ", "current "},
        {"position-frozen", "", "position "},
        {"position-jumps", "position ", "position "},
        {"position-jumps -0.1", "position ", "position "},
        {"position-late", "", "position "},
        {"position-flapping", "", "position "},
        {"position-lost", "position ", "position "},
        {"train-ignores-signals freight", "", "main.west.standing main.west.stop Train "},
        {"train-does-not-stop freight", "", "main.west.standing main.west.stop Train "},
        {"stop-circuit-broken", "stop-circuit ", "stop-circuit "},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        static struct sim sound, faulty;
        begin(&sound);
        faulty = sound;
        char words[100], text[400];
        snprintf(words, sizeof words, "fault %s on", cases[i].words);
        struct error error = {.what = ""};
        if (!sim_command(&faulty, words, &error)) {
            fail_msg("%s: %s", words, error.what);
        }
        for (int later = 0; later < 2; later++) {
            struct sight a = look(&sound), b = look(&faulty);
            differences(&sound, &a, &b, text, sizeof text);
            if (strcmp(text, later ? cases[i].later : cases[i].at_once) != 0) {
                fail_msg("%s changed, %s: %s", cases[i].words, later ? "later" : "at once", text);
            }
            sim_advance(&sound, 4350000);
            sim_advance(&faulty, 4350000);
        }
    }
}

static enum level seated_of(const struct sim *sim) {
    struct sight sight = look(sim);
    return sight.inputs.seated;
}

/* What a hand does at a contact goes through its wires, right or wrong. */
static void hand_at_a_contact_shows_how_it_is_wired(void **state) {
    (void)state;
    static struct sim sim;
    begin(&sim);
    assert_int_equal(seated_of(&sim), LEVEL_OFF);
    assert_true(sim_command(&sim, "contact seated by-hand made", NULL));
    assert_int_equal(seated_of(&sim), LEVEL_ON);
    assert_true(sim_command(&sim, "fault contact-inverted seated on", NULL));
    assert_int_equal(seated_of(&sim), LEVEL_OFF);
    assert_true(sim_command(&sim, "contact seated by-hand open", NULL));
    assert_int_equal(seated_of(&sim), LEVEL_ON);
    assert_true(sim_command(&sim, "fault all off", NULL));
    assert_true(sim_command(&sim, "fault contacts-swapped on", NULL));
    assert_true(sim_command(&sim, "contact seated by-hand made", NULL));
    struct sight sight = look(&sim);
    assert_int_equal(sight.inputs.seated, LEVEL_OFF);
    assert_int_equal(sight.inputs.open, LEVEL_ON);
    assert_true(sim_command(&sim, "contact seated by-hand free", NULL));
    sight = look(&sim);
    assert_int_equal(sight.inputs.open, LEVEL_OFF);
    struct error error;
    assert_false(sim_command(&sim, "contact seated by-foot made", &error));
    assert_false(sim_command(&sim, "contact seated by-hand shut", &error));
    assert_false(sim_command(&sim, "contact seeted by-hand made", &error));
}

static void only_the_train_that_does_not_stop_crosses_dead_rail(void **state) {
    (void)state;
    static const char *const faults[] = {"fault train-ignores-signals freight on",
                                         "fault train-does-not-stop freight on"};
    for (int i = 0; i < 2; i++) {
        static struct sim sim;
        begin(&sim);
        const struct bridge_outputs dead = {0};
        sim_act(&sim, &dead);
        assert_true(sim_command(&sim, faults[i], NULL));
        sim_advance(&sim, 60 * second);
        assert_int_equal(sim.has_wrecked, i == 1); /* the span is up */
    }
}

/* Lost, the device reads nothing and obeys nothing; its outputs have fallen to safe. */
static void lost_device_falls_to_safe(void **state) {
    (void)state;
    static struct sim sim;
    begin(&sim);
    assert_true(sim_command(&sim, "fault device-lost on", NULL));
    const struct bridge_outputs outputs = {.lift_effort = 1, .brake_released = true};
    sim_act(&sim, &outputs);
    struct sight sight = look(&sim);
    assert_true(sight.inputs.is_device_lost);
    for (unsigned i = 0; i < lines_levels(1); i++) {
        assert_int_equal(*lines_level(&sight.inputs, i), LEVEL_UNKNOWN);
    }
    assert_true(isnan(sight.inputs.position_frac) && isnan(sight.inputs.current_a));
    sim_advance(&sim, 3 * second);
    assert_true(sim.lift.motor_rad_s == 0);
    assert_true(sim_command(&sim, "fault device-lost off", NULL));
    sight = look(&sim);
    assert_false(sight.inputs.is_device_lost);
    assert_int_equal(sight.inputs.track[0].end[0].stop_dead, LEVEL_ON);
}

static void every_fault_has_a_name_and_is_mended(void **state) {
    (void)state;
    static struct sim sim;
    begin(&sim);
    static const char *const values[] = {"",           " seated", " main.west",
                                         " main.span", " 0.5",    " freight"};
    for (int f = 0; f < SIM_FAULTS; f++) {
        unsigned taken = 0;
        for (size_t v = 0; v < sizeof values / sizeof values[0]; v++) {
            char on[100], off[100];
            snprintf(on, sizeof on, "fault %s%s on", sim_fault_name((enum sim_fault)f), values[v]);
            snprintf(off, sizeof off, "fault %s%s off", sim_fault_name((enum sim_fault)f),
                     values[v]);
            if (sim_command(&sim, on, NULL)) {
                taken++;
                assert_true(sim.faults.on[f] != 0);
                assert_true(sim_command(&sim, off, NULL));
            }
            assert_true(sim.faults.on[f] == 0);
        }
        assert_true(taken > 0);
    }
}

static void every_contact_and_detector_can_be_stuck(void **state) {
    (void)state;
    static struct sim sim;
    begin(&sim);
    static const struct {
        const char *word;
        enum level level;
    } readings[] = {
        {"made", LEVEL_ON}, {"open", LEVEL_OFF}, {"broken", LEVEL_UNKNOWN}, {"made", LEVEL_ON}};
    for (unsigned i = 0; i < lines_levels(1); i++) {
        char name[LINE_NAME_SIZE], words[LINE_NAME_SIZE + 20];
        sim_inputs_name(sim.setup.track, i, name);
        struct sight before = look(&sim);
        for (size_t r = 0; r < sizeof readings / sizeof readings[0]; r++) {
            snprintf(words, sizeof words, "contact %s %s", name, readings[r].word);
            assert_true(sim_command(&sim, words, NULL));
            struct sight sight = look(&sim);
            assert_int_equal(*lines_level(&sight.inputs, i), readings[r].level);
        }
        snprintf(words, sizeof words, "contact %s free", name);
        assert_true(sim_command(&sim, words, NULL));
        struct sight after = look(&sim);
        assert_memory_equal(&before, &after, sizeof before);
    }
}

static enum level seated_after(struct sim *sim, uint64_t more_us) {
    struct bridge_inputs inputs;
    sim_advance(sim, sim->now_us + more_us);
    sim_sense(sim, &inputs);
    return inputs.seated;
}

static void begin_at_rest(struct sim *sim) {
    const struct simulation_setup setup = sim_world_simulation();
    const struct bridge_setup bridge = sim_world_bridge();
    assert_true(sim_begin(sim, &bridge, &setup, NULL));
    sim_advance(sim, 0);
}

/* Though nothing else moves: the world must not be leapt over. */
static void flapping_contact_changes_every_tenth_of_a_second(void **state) {
    (void)state;
    static struct sim sim;
    begin_at_rest(&sim);
    assert_true(sim_command(&sim, "contact seated flapping", NULL));
    for (int i = 0; i < 20; i++) {
        assert_int_equal(seated_after(&sim, 50000), LEVEL_ON);
        assert_true(sim_wake_us(&sim) <= 100000);
        assert_int_equal(seated_after(&sim, 100000), LEVEL_OFF);
        sim_advance(&sim, sim.now_us + 50000);
    }
}

static enum level power_after(struct sim *sim, uint64_t more_us) {
    struct bridge_inputs inputs;
    sim_advance(sim, sim->now_us + more_us);
    sim_sense(sim, &inputs);
    return inputs.track[0].span_dead;
}

static void late_contact_shows_what_was_a_second_ago(void **state) {
    (void)state;
    static struct sim sim;
    begin_at_rest(&sim);
    struct bridge_outputs outputs = {0};
    assert_true(sim_command(&sim, "contact main.span-power late", NULL));
    assert_int_equal(power_after(&sim, second), LEVEL_ON);
    outputs.track[0].span_power = true;
    sim_act(&sim, &outputs);
    assert_int_equal(power_after(&sim, 900000), LEVEL_ON);
    assert_true(sim_wake_us(&sim) <= 110000);
    assert_int_equal(power_after(&sim, 110000), LEVEL_OFF);

    outputs.track[0].span_power = false; /* too short to be seen */
    sim_act(&sim, &outputs);
    sim_advance(&sim, sim.now_us + 500000);
    outputs.track[0].span_power = true;
    sim_act(&sim, &outputs);
    assert_int_equal(power_after(&sim, 5 * second), LEVEL_OFF);
}

static void motor_that_runs_on_obeys_no_rest(void **state) {
    (void)state;
    static struct sim sim;
    begin(&sim);
    assert_true(sim_command(&sim, "fault motor-runs-on on", NULL));
    sim_act(&sim, &(struct bridge_outputs){.brake_released = true});
    double before = sim_position_frac(&sim);
    sim_advance(&sim, 4 * second);
    assert_true(sim_position_frac(&sim) > before + 0.02);
}

static void last_fault_of_a_contact_counts(void **state) {
    (void)state;
    static struct sim sim;
    begin(&sim);
    assert_true(sim_command(&sim, "fault contact-made seated on", NULL));
    assert_true(sim_command(&sim, "fault contact-open open on", NULL));
    assert_true(sim_command(&sim, "fault contact-broken seated on", NULL));
    struct sight sight = look(&sim);
    assert_int_equal(sight.inputs.seated, LEVEL_UNKNOWN);
    assert_int_equal(sight.inputs.open, LEVEL_OFF);
}

/* Found by name where the numbers say: a table's row in the wrong place would hide here. */
static void input_names_reach_their_inputs(void **state) {
    (void)state;
    struct bridge_inputs in;
    const struct simulation_setup setup = sim_world_simulation();
    const struct {
        const char *name;
        enum level *level;
    } cases[] = {
        {"open", &in.open},
        {"locked", &in.locked},
        {"rail-2", &in.rail[1]},
        {"main.west.standing", &in.track[0].end[0].standing},
        {"main.east.signal", &in.track[0].end[1].signal_at_stop},
        {"main.east.power", &in.track[0].end[1].stop_dead},
        {"main.span", &in.track[0].span_clear},
        {"main.span-power", &in.track[0].span_dead},
    };
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        unsigned found = 0;
        for (unsigned i = 0; i < lines_levels(1); i++) {
            char name[LINE_NAME_SIZE];
            sim_inputs_name(setup.track, i, name);
            if (strcmp(name, cases[c].name) == 0) {
                found++;
                assert_ptr_equal(lines_level(&in, i), cases[c].level);
            }
        }
        assert_int_equal(found, 1);
    }
}

/* A fault that nobody can read about is of no use. */
static void every_fault_stands_in_the_readme(void **state) {
    (void)state;
    static char text[20000];
    FILE *file = fopen(SOURCE_DIR "/daemon/io/README.md", "r");
    assert_non_null(file);
    size_t size = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    assert_true(size > 0 && size < sizeof text - 1);
    for (int f = 0; f < SIM_FAULTS; f++) {
        char name[60];
        snprintf(name, sizeof name, "`%s`", sim_fault_name((enum sim_fault)f));
        if (strstr(text, name) == NULL) {
            fail_msg("%s", name);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_fault_changes_what_it_says),
        cmocka_unit_test(hand_at_a_contact_shows_how_it_is_wired),
        cmocka_unit_test(only_the_train_that_does_not_stop_crosses_dead_rail),
        cmocka_unit_test(lost_device_falls_to_safe),
        cmocka_unit_test(every_fault_has_a_name_and_is_mended),
        cmocka_unit_test(every_contact_and_detector_can_be_stuck),
        cmocka_unit_test(flapping_contact_changes_every_tenth_of_a_second),
        cmocka_unit_test(late_contact_shows_what_was_a_second_ago),
        cmocka_unit_test(motor_that_runs_on_obeys_no_rest),
        cmocka_unit_test(last_fault_of_a_contact_counts),
        cmocka_unit_test(every_fault_stands_in_the_readme),
        cmocka_unit_test(input_names_reach_their_inputs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
