/* A bridge's changes as log lines. */
#include "bridge/tell_log.h"
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

/* Steps once and tells it to the log; returns how many of its lines say this. */
static unsigned lines_of_step(struct puppet *p, enum bridge_request_kind request,
                              const char *words) {
    const struct net_bridge_setup bridge = bridge_of(p);
    const struct bridge_view before = view_of(p);
    puppet_step(p, request, 1000);
    const struct bridge_view after = view_of(p);
    logged_begin();
    tell_log(&bridge, &before, &after);
    logged_end();
    return logged_lines(words);
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
    assert_int_equal(lines_of_step(&p, REQUEST_SIGNAL_PROCEED,
                                   "Kettle Narrows: a home signal is to show proceed; lined; waits "
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
    const struct net_bridge_setup bridge = bridge_of(&p);
    const struct bridge_view before = view_of(&p);
    struct bridge_view after = before;
    after.state.phase = PHASE_CLEARING;
    logged_begin();
    tell_log(&bridge, &before, &after);
    logged_end();
    assert_int_equal(logged_lines(" at 0.0 deg;"), 1);
}

int main(void) {
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(signal_that_does_not_clear_at_once_is_said_to_wait),
        cmocka_unit_test(signal_that_clears_at_once_is_not_worth_a_line),
        cmocka_unit_test(signal_that_waits_for_an_oncoming_train_is_not_worth_a_line),
        cmocka_unit_test(phase_is_told_with_what_it_waits_for),
        cmocka_unit_test(zero_has_no_sign),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
