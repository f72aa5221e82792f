/* Lengths of times, and motion: every state of small bridges in worlds of a few true lengths. */
#include "prove/walks/clocked.h"
#include "support/check.h"

static struct clocked walk(const char *name) {
    struct clock_scene scene;
    assert_true(clock_scene_find(name, &scene));
    assert_null(bridge_setup_fault(&scene.setup));
    return clocked_walk(&scene);
}

static void assert_holds(const char *name, uint32_t phases, uint32_t faults) {
    struct clocked result = walk(name);
    assert_null(result.broken);
    /* A search that never came there would prove nothing. */
    if ((result.phases & phases) != phases || (result.faults & faults) != faults) {
        fail_msg("%s: phases %x, faults %x", name, result.phases, result.faults);
    }
}

static const uint32_t all_but_fault = ((1u << BRIDGE_PHASES) - 1) & ~(1u << PHASE_FAULT);
static const uint32_t whole_opening =
    ((1u << BRIDGE_PHASES) - 1) & ~(1u << PHASE_FAULT | 1u << PHASE_HELD);

static void warnings_pushes_and_longest_times_are_kept(void **state) {
    (void)state;
    assert_holds("clock-opening", all_but_fault, 0);
    assert_holds("clock-blind", all_but_fault, 0);
    assert_holds("clock-jog", all_but_fault, 0);
}

static void starts_know_nothing_and_stops_hold_the_power(void **state) {
    (void)state;
    assert_holds("clock-start", all_but_fault, 1u << FAULT_EMERGENCY_STOP);
}

static void approach_locking_runs_as_long_as_it_must_and_no_longer(void **state) {
    (void)state;
    assert_holds("clock-approach", whole_opening, 1u << FAULT_SIGNAL_UNPROVED);
    assert_holds("clock-standing", whole_opening, 0);
    assert_holds("clock-both", whole_opening, 0);
}

static void sections_are_believed_clear_and_dead_after_their_time(void **state) {
    (void)state;
    assert_holds("clock-sections", whole_opening, 1u << FAULT_OVERRUN | 1u << FAULT_POWER_UNPROVED);
}

static void no_movement_goes_wrong_unseen(void **state) {
    (void)state;
    assert_holds("clock-motion", whole_opening,
                 1u << FAULT_NO_MOVEMENT | 1u << FAULT_OVERSPEED | 1u << FAULT_DRIFT);
    assert_holds("clock-beyond", whole_opening, 1u << FAULT_OVERTRAVEL);
    assert_holds("clock-current", whole_opening, 1u << FAULT_STALL);
}

static void contacts_are_believed_once_they_have_held(void **state) {
    (void)state;
    assert_holds("clock-seated", whole_opening, 1u << FAULT_INPUT_LOST | 1u << FAULT_CONTRADICTION);
    assert_holds("clock-rail", whole_opening, 1u << FAULT_INPUT_LOST | 1u << FAULT_PROOF_LOST);
}

static void jogs_do_not_hold_a_span_that_sticks(void **state) {
    (void)state;
    assert_holds("clock-stick", 1u << PHASE_HELD, 1u << FAULT_NO_MOVEMENT);
}

static void throttle_runs_the_span_for_as_long_as_it_is_held(void **state) {
    (void)state;
    assert_holds("clock-throttle", all_but_fault, 0);
}

static void late_looks_are_no_evidence_and_a_fault_while_something_is_driven(void **state) {
    (void)state;
    assert_holds("clock-late", whole_opening, 1u << FAULT_OVERRUN);
    assert_holds("clock-gap", whole_opening, 1u << FAULT_LATE);
}

static void time_and_words_stand_for_sensors_that_are_not_there(void **state) {
    (void)state;
    assert_holds("clock-unwatched", whole_opening, 0);
    assert_holds("clock-unlost", 1u << PHASE_OPEN, 1u << FAULT_DEVICE_LOST);
    assert_holds("clock-span-detector", whole_opening, 1u << FAULT_OVERRUN);
    assert_holds("clock-word-gap", whole_opening, 0);
    assert_holds("clock-approach-detector", whole_opening, 0);
}

static void bar_without_contacts_is_driven_for_its_time(void **state) {
    (void)state;
    assert_holds("clock-bar", all_but_fault, 0);
    assert_holds("clock-bar-lost", whole_opening, 1u << FAULT_DEVICE_LOST);
    assert_holds("clock-bar-locked", all_but_fault, 1u << FAULT_LOCK_UNPROVED);
    assert_holds("clock-bar-withdrawn", all_but_fault, 1u << FAULT_LOCK_UNPROVED);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(warnings_pushes_and_longest_times_are_kept),
        cmocka_unit_test(starts_know_nothing_and_stops_hold_the_power),
        cmocka_unit_test(approach_locking_runs_as_long_as_it_must_and_no_longer),
        cmocka_unit_test(sections_are_believed_clear_and_dead_after_their_time),
        cmocka_unit_test(no_movement_goes_wrong_unseen),
        cmocka_unit_test(jogs_do_not_hold_a_span_that_sticks),
        cmocka_unit_test(throttle_runs_the_span_for_as_long_as_it_is_held),
        cmocka_unit_test(late_looks_are_no_evidence_and_a_fault_while_something_is_driven),
        cmocka_unit_test(time_and_words_stand_for_sensors_that_are_not_there),
        cmocka_unit_test(bar_without_contacts_is_driven_for_its_time),
        cmocka_unit_test(contacts_are_believed_once_they_have_held),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
