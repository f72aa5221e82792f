/* Run-time commands: wrong ones say what was wanted and change nothing. */
#include "io/simulated/world/sim.h"
#include "support/check.h"
#include "support/io/sim_world.h"

#include <string.h>

static const uint64_t second = 1000000;

static void begin(struct sim *sim, const struct bridge_setup *bridge) {
    struct simulation_setup setup = sim_world_simulation();
    setup.trains = 1;
    setup.train[0] = sim_world_train();
    memcpy(setup.train[0].name, "Night Mail", sizeof "Night Mail");
    assert_true(sim_begin(sim, bridge, &setup, NULL));
    sim_advance(sim, 0);
}

static void wrong_words_are_answered_and_change_nothing(void **state) {
    (void)state;
    static const struct {
        const char *words;
        const char *answer; /* part of it */
    } cases[] = {
        {"", "fault, contact, train, span or lock"},
        {"   ", "fault, contact, train, span or lock"},
        {"falt jam on", "nearest: fault"},
        {"fault", "fault NAME [VALUE] on|off"},
        {"fault jam", "fault NAME [VALUE] on|off"},
        {"fault jam 0.5 maybe", "on|off"},
        {"fault jamm on", "nearest: \"jam\""},
        {"fault xylophone on", "no fault named \"xylophone\""},
        {"fault jam 2 on", "0 to 1.1"},
        {"fault jam nan on", "0 to 1.1"},
        {"fault jam half on", "0 to 1.1"},
        {"fault jam 0.5x on", "0 to 1.1"},
        {"fault motor-open 3 on", "takes no value"},
        {"fault contact-open on", "wants the name"},
        {"fault contact-open seted on", "nearest: \"seated\""},
        {"fault contact-open main.west.aproach on", "nearest: \"main.west.approach\""},
        {"fault signal-at-proceed main.wset on", "nearest: \"main.west\""},
        {"fault power-stuck-on main.west on", "section"},
        {"fault train-does-not-stop goods on", "no train named \"goods\""},
        {"fault all on", "no fault named \"all\""},
        {"contact seated", "contact NAME made|open|broken|flapping|late|free"},
        {"contact seated shut", "made, open, broken, flapping, late or free"},
        {"contact rail-9 made", "nearest: \"rail-"},
        {"train night-mial start", "nearest: \"Night Mail\""},
        {"train night-mail fly", "start, stop, reverse or be gone"},
        {"train night-mail", "train NAME"},
        {"span by-hand 0.5", "has a lift"},
        {"span by-crane 0.5", "span by-hand FRACTION"},
        {"lock by-hand driven", "has a drive"},
        {"lock by-hand shut", "lock by-hand driven|withdrawn"},
        {"fault a b c d e f g", "more than"},
        {"fault jaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"
         "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaam on",
         "bytes are too many"},
    };
    static struct sim sim, before;
    const struct bridge_setup bridge = sim_world_bridge();
    begin(&sim, &bridge);
    memcpy(&before, &sim, sizeof sim);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct error error = {.what = ""};
        assert_false(sim_command(&sim, cases[i].words, &error));
        if (strstr(error.what, cases[i].answer) == NULL) {
            fail_msg("\"%s\" was answered \"%s\"", cases[i].words, error.what);
        }
        assert_string_equal(error.where, "simulation");
        assert_memory_equal(&sim, &before, sizeof sim);
        assert_false(sim_command(&sim, cases[i].words, NULL));
    }
}

static void names_take_a_hyphen_for_a_space_and_any_case(void **state) {
    (void)state;
    static struct sim sim;
    const struct bridge_setup bridge = sim_world_bridge();
    begin(&sim, &bridge);
    assert_true(sim_command(&sim, "train night-mail start", NULL));
    assert_true(sim_command(&sim, "  fault\tJam 0.5   on ", NULL));
    assert_true(sim_faults_is_on(&sim.faults, SIM_JAM, 0));
    assert_true(sim_command(&sim, "fault all off", NULL));
    assert_false(sim_faults_is_on(&sim.faults, SIM_JAM, 0));
}

/* A gate goes where the hand takes it, at the hand's speed, and no further than the bar allows. */
static void gate_is_moved_by_hand(void **state) {
    (void)state;
    static struct sim sim;
    const struct bridge_setup bridge = sim_world_hand_bridge();
    begin(&sim, &bridge);
    assert_true(sim_command(&sim, "span by-hand 1", NULL));
    sim_advance(&sim, 10 * second);
    assert_true(sim_position_frac(&sim) < 0.004); /* locked: it keeps its seat */
    assert_true(sim.contacts.seated);
    assert_true(sim_command(&sim, "lock by-hand withdrawn", NULL));
    sim_advance(&sim, 12 * second);
    assert_true(sim_position_frac(&sim) > 0.48 && sim_position_frac(&sim) < 0.52); /* 0.25 a s */
    sim_advance(&sim, 20 * second);
    assert_true(sim_position_frac(&sim) == 1);
    assert_true(sim.contacts.open);
    assert_true(sim_command(&sim, "lock by-hand driven", NULL));
    assert_true(sim_command(&sim, "span by-hand 0", NULL));
    sim_advance(&sim, 30 * second);
    assert_true(sim_position_frac(&sim) > 0); /* it lies on the bar */
    assert_false(sim.contacts.seated);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wrong_words_are_answered_and_change_nothing),
        cmocka_unit_test(names_take_a_hyphen_for_a_space_and_any_case),
        cmocka_unit_test(gate_is_moved_by_hand),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
