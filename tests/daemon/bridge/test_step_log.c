/* A bridge's changes as log lines. */
#include "bridge/step_log.h"
#include "support/check.h"
#include "support/core/puppet.h"
#include "support/logged.h"

#include <stdio.h>
#include <string.h>

static struct net_bridge_setup bridge_of(const struct puppet *p) {
    struct net_bridge_setup bridge = {.name = "Kettle Narrows",
                                      .setup = p->setup,
                                      .track_name = {"main"},
                                      .end_name = {{"west", "east"}},
                                      .travel = 75,
                                      .travel_unit = "deg"};
    return bridge;
}

static struct bridge_view view_of(const struct puppet *p) {
    return (struct bridge_view){.inputs = p->inputs, .state = p->state, .outputs = p->outputs};
}

/* Returns how many lines of what is told of this change say this. */
static unsigned lines_between(const struct puppet *p, const struct bridge_view *before,
                              const struct bridge_view *after, const char *words) {
    const struct net_bridge_setup bridge = bridge_of(p);
    logged_begin();
    step_log(&bridge, before, after);
    logged_end();
    return logged_lines(words);
}

/* Steps once and tells it to the log; returns how many of its lines say this. */
static unsigned lines_of_step(struct puppet *p, enum bridge_request_kind request,
                              const char *words) {
    const struct bridge_view before = view_of(p);
    puppet_step(p, request, 1000);
    const struct bridge_view after = view_of(p);
    return lines_between(p, &before, &after, words);
}

static void line_with_signals_for_people(struct puppet *p) {
    struct bridge_setup setup = puppet_setup();
    setup.track[0].end[0].is_automatic = false;
    setup.track[0].end[1].is_automatic = false;
    puppet_line(p, &setup);
}

/* It is granted, and nothing is seen to happen. */
static void signal_that_does_not_clear_at_once_is_said_to_wait(void **state) {
    (void)state;
    struct puppet p;
    line_with_signals_for_people(&p);
    p.inputs.track[0].span_clear = LEVEL_OFF;
    assert_int_equal(lines_of_step(&p, REQUEST_NONE, ""), 0);
    assert_int_equal(
        lines_of_step(&p, REQUEST_SIGNAL_PROCEED,
                      "Kettle Narrows: proceed was requested for a home signal; lined; waits "
                      "for: span section to be clear (main)"),
        1);
    assert_int_equal(lines_of_step(&p, REQUEST_SIGNAL_PROCEED, ""), 0); /* it is known */
}

static void signal_that_clears_at_once_is_not_worth_a_line(void **state) {
    (void)state;
    struct puppet p;
    line_with_signals_for_people(&p);
    assert_int_equal(lines_of_step(&p, REQUEST_SIGNAL_PROCEED, ""), 0);
    assert_true(p.outputs.track[0].end[0].signal_proceed);
}

/* The signal of the other end shows proceed, to a train that everybody sees. */
static void signal_that_waits_for_an_oncoming_train_is_not_worth_a_line(void **state) {
    (void)state;
    struct puppet p;
    line_with_signals_for_people(&p);
    p.state.track[0].end[1].is_proceed_wanted = true;
    p.inputs.track[0].end[1].approach_clear = LEVEL_OFF;
    lines_of_step(&p, REQUEST_NONE, "");
    assert_true(p.outputs.track[0].end[1].signal_proceed);
    assert_int_equal(lines_of_step(&p, REQUEST_SIGNAL_PROCEED, ""), 0);
    assert_false(p.outputs.track[0].end[0].signal_proceed);
}

static void phase_is_told_with_what_it_waits_for(void **state) {
    (void)state;
    struct puppet p;
    line_with_signals_for_people(&p);
    p.inputs.track[0].end[1].stop_clear = LEVEL_OFF;
    assert_int_equal(lines_of_step(&p, REQUEST_RAISE,
                                   "Kettle Narrows: lined -> clearing at 0.0 deg; waits for: stop "
                                   "section to be clear"),
                     1);
}

/* As it reads where the seat is a little lower than the zero of the sensor. */
static void zero_has_no_sign(void **state) {
    (void)state;
    struct puppet p;
    line_with_signals_for_people(&p);
    p.state.motion.position_frac = -0.0004;
    const struct bridge_view before = view_of(&p);
    struct bridge_view after = before;
    after.state.phase = PHASE_CLEARING;
    assert_int_equal(lines_between(&p, &before, &after, " at 0.0 deg;"), 1);
}

static void place_that_is_unknown_is_not_told_as_a_number(void **state) {
    (void)state;
    struct puppet p;
    line_with_signals_for_people(&p);
    p.state.motion.is_known = false;
    const struct bridge_view before = view_of(&p);
    struct bridge_view after = before;
    after.state.phase = PHASE_CLEARING;
    assert_int_equal(lines_between(&p, &before, &after, " at an unknown place;"), 1);
}

static void fault_is_told_once_and_not_its_end(void **state) {
    (void)state;
    struct puppet p;
    line_with_signals_for_people(&p);
    assert_int_equal(
        lines_of_step(&p, REQUEST_EMERGENCY_STOP, "error   Kettle Narrows: FAULT emergency-stop: "),
        1);
    assert_int_equal(lines_of_step(&p, REQUEST_NONE, "FAULT"), 0);
    assert_int_equal(lines_of_step(&p, REQUEST_ACKNOWLEDGE, "FAULT"), 0);
    assert_int_equal(p.state.fault, FAULT_NONE);
}

/* Timers are a little late, always: that is not told. */
static void only_a_long_gap_is_told(void **state) {
    (void)state;
    struct puppet p;
    line_with_signals_for_people(&p);
    const struct bridge_view before = view_of(&p);
    struct bridge_view after = before;
    after.inputs.late_us = LATE_MOST_US;
    assert_int_equal(lines_between(&p, &before, &after, ""), 0);
    after.inputs.late_us = LATE_MOST_US + 400000;
    assert_int_equal(
        lines_between(&p, &before, &after, "inputs were read 1.4 s later than planned"), 1);
}

static void opening_that_is_given_up_is_told_once(void **state) {
    (void)state;
    struct puppet p;
    line_with_signals_for_people(&p);
    const struct bridge_view before = view_of(&p);
    struct bridge_view after = before;
    after.state.has_given_up = true;
    assert_int_equal(lines_between(&p, &before, &after, "opening abandoned"), 1);
    assert_int_equal(lines_between(&p, &after, &after, "opening abandoned"), 0);
}

/* Nothing else will do, and nobody may wait for it in vain: told when it begins to be waited for,
 * and when it is given. */
static void word_is_asked_for_once_and_its_coming_told(void **state) {
    (void)state;
    static const char asks[] = "Kettle Narrows: waits for: ";
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    setup.track[0].has_span_detector = false;
    puppet_line(&p, &setup);
    p.inputs.track[0].end[1].approach_clear = LEVEL_OFF; /* so approach locking comes first */
    assert_int_equal(lines_of_step(&p, REQUEST_RAISE, "lined -> clearing"), 1);
    p.inputs.track[0].end[1].approach_clear = LEVEL_ON;
    unsigned lines = 0;
    for (uint32_t passed_us = 0;
         lines == 0 && passed_us < 2 * setup.track[0].end[1].approach_lock_us; passed_us += 1000) {
        lines = lines_of_step(&p, REQUEST_NONE, asks);
    }
    assert_int_equal(lines, 1);
    assert_int_equal(lines_of_step(&p, REQUEST_NONE, asks), 0);
    assert_int_equal(lines_of_step(&p, REQUEST_SEEN_CLEAR, "reported seen clear"), 1);
    assert_int_equal(lines_of_step(&p, REQUEST_NONE, "reported seen clear"), 0);
}

int main(void) {
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(signal_that_does_not_clear_at_once_is_said_to_wait),
        cmocka_unit_test(signal_that_clears_at_once_is_not_worth_a_line),
        cmocka_unit_test(signal_that_waits_for_an_oncoming_train_is_not_worth_a_line),
        cmocka_unit_test(phase_is_told_with_what_it_waits_for),
        cmocka_unit_test(zero_has_no_sign),
        cmocka_unit_test(place_that_is_unknown_is_not_told_as_a_number),
        cmocka_unit_test(fault_is_told_once_and_not_its_end),
        cmocka_unit_test(only_a_long_gap_is_told),
        cmocka_unit_test(opening_that_is_given_up_is_told_once),
        cmocka_unit_test(word_is_asked_for_once_and_its_coming_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
