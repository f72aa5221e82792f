/* The hand throttle against the core itself: runs that begin at rest, and end by whatever ends
 * them. The puppet judges S1 to S4 and S9 in every step. */
#include "stand/hold.h"
#include "support/check.h"
#include "support/core/puppet.h"

#include <math.h>

static const struct hold_setup setup = {.dead_share = 0.1, .refresh_us = 150000};

static struct hold hold;
static struct puppet puppet;
static unsigned asked;

static int start(void **state) {
    (void)state;
    struct bridge_setup bridge = puppet_setup();
    puppet_line(&puppet, &bridge);
    hold = (struct hold){.direction = 0};
    asked = 0;
    return 0;
}

/* The hand for a while, in steps of 10 ms, as the stand would pass it on. */
static void keep(double share, uint64_t time_us) {
    for (uint64_t end_us = puppet.now_us + time_us; puppet.now_us < end_us;) {
        struct bridge_request request;
        enum bridge_answer answer = ANSWER_NONE;
        if (hold_look(&hold, &setup, share, puppet.now_us, &request)) {
            asked++;
            answer = puppet_ask_throttle(&puppet, request.kind, request.share, request.is_voltage,
                                         10000);
            hold_answered(&hold, answer == ANSWER_GRANTED || answer == ANSWER_ALREADY);
        } else {
            puppet_run_for(&puppet, 10000);
        }
    }
}

static void rest_then(double share) {
    keep(0, 20000);
    keep(share, 20000);
}

static void keep_until(enum bridge_phase phase, double share) {
    for (unsigned i = 0; i < 60000 && puppet.state.phase != phase; i++) {
        keep(share, 10000);
    }
    assert_int_equal(puppet.state.phase, phase);
}

static void a_whole_opening_and_closing_by_hand(void **state) {
    (void)state;
    rest_then(1);
    keep_until(PHASE_RAISING, 1);
    keep_until(PHASE_OPEN, 1);
    assert_true(puppet.state.throttle.share == 0);
    rest_then(-1);
    keep_until(PHASE_LOWERING, -1);
    keep_until(PHASE_LINED, -1);
}

static void a_hand_that_is_not_at_rest_at_the_start_begins_nothing(void **state) {
    (void)state;
    keep(1, 1000000);
    assert_int_equal(asked, 0);
    rest_then(1);
    assert_true(asked > 0);
    assert_int_equal(puppet.state.goal, GOAL_UP);
}

static void expect_held(double share) {
    keep_until(PHASE_HELD, share);
    unsigned until_now = asked;
    keep(1, 2000000);
    assert_int_equal(asked, until_now); /* not even tried */
    assert_int_equal(puppet.state.phase, PHASE_HELD);
}

static void let_go_rests_the_span_in_the_next_step(void **state) {
    (void)state;
    rest_then(1);
    keep_until(PHASE_RAISING, 1);
    keep(1, 500000);
    keep(0.05, 10000);
    assert_int_equal(puppet.state.phase, PHASE_HELD);
    assert_true(puppet.outputs.lift_effort == 0);
    keep(0.05, 1000000);
    keep(1, 100000); /* a new grip */
    assert_int_equal(puppet.state.goal, GOAL_UP);
}

static void no_reading_rests_the_span(void **state) {
    (void)state;
    rest_then(1);
    keep_until(PHASE_RAISING, 1);
    keep(NAN, 10000);
    expect_held(1);
}

static void the_other_way_without_a_rest_between_only_stops(void **state) {
    (void)state;
    rest_then(1);
    keep_until(PHASE_RAISING, 1);
    keep(-1, 10000);
    expect_held(-1);
}

static void who_holds_on_through_somebody_elses_stop_starts_nothing(void **state) {
    (void)state;
    rest_then(1);
    keep_until(PHASE_RAISING, 1);
    puppet_ask(&puppet, REQUEST_STOP, 10000);
    keep(1, 300000); /* the next hold is told that it is over */
    expect_held(1);
}

static void a_refused_run_is_not_asked_for_again_and_again(void **state) {
    (void)state;
    puppet_ask(&puppet, REQUEST_EMERGENCY_STOP, 10000);
    rest_then(1);
    keep(1, 3000000);
    assert_int_equal(asked, 1);
}

static void holds_come_often_enough_and_changes_at_once(void **state) {
    (void)state;
    struct bridge_request request;
    assert_true(setup.refresh_us * 3 <= THROTTLE_US);
    rest_then(0.5);
    uint64_t now_us = hold.asked_us;
    assert_int_equal(hold_wake_us(&hold, &setup, now_us), setup.refresh_us);
    assert_false(hold_look(&hold, &setup, 0.51, now_us + 1000, &request));
    assert_true(hold_look(&hold, &setup, 0.6, now_us + 2000, &request));
    assert_true(request.kind == REQUEST_THROTTLE_HOLD && request.share == 0.6);
    assert_false(hold_look(&hold, &setup, 0.6, now_us + 2000 + 149999, &request));
    assert_true(hold_look(&hold, &setup, 0.6, now_us + 2000 + 150000, &request));
}

static void what_is_asked_is_what_the_hand_says(void **state) {
    (void)state;
    struct hold_setup voltage = setup;
    struct bridge_request request;
    voltage.is_voltage = true;
    assert_false(hold_look(&hold, &voltage, 0, 1, &request));
    assert_true(hold_look(&hold, &voltage, -1.2, 2, &request));
    assert_int_equal(request.kind, REQUEST_THROTTLE_DOWN);
    assert_true(request.share == 1 && request.is_voltage);
    assert_true(hold_look(&hold, &voltage, 0, 3, &request));
    assert_int_equal(request.kind, REQUEST_THROTTLE_HOLD);
    assert_true(request.share == 0);
    assert_int_equal(hold_wake_us(&hold, &voltage, 3), UINT32_MAX);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(a_whole_opening_and_closing_by_hand, start),
        cmocka_unit_test_setup(a_hand_that_is_not_at_rest_at_the_start_begins_nothing, start),
        cmocka_unit_test_setup(let_go_rests_the_span_in_the_next_step, start),
        cmocka_unit_test_setup(no_reading_rests_the_span, start),
        cmocka_unit_test_setup(the_other_way_without_a_rest_between_only_stops, start),
        cmocka_unit_test_setup(who_holds_on_through_somebody_elses_stop_starts_nothing, start),
        cmocka_unit_test_setup(a_refused_run_is_not_asked_for_again_and_again, start),
        cmocka_unit_test_setup(holds_come_often_enough_and_changes_at_once, start),
        cmocka_unit_test_setup(what_is_asked_is_what_the_hand_says, start),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
