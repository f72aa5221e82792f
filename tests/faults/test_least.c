/* Bridges with less than everything: what of the rest finds out a seated contact that sticks made
 * while a raised span comes down. The single fault that lets a train onto an open span, so it is
 * shown both ways: that it is found out, and where nothing can. */
#include "faults/closed.h"
#include "support/check.h"

static const uint64_t second_us = 1000000;

struct least {
    bool has_nearly_seated, has_position;
    unsigned rails;
};

/* Ends where the bridge rests after its seated contact stuck this far up, a train on its way. */
static struct closed after_stuck(const struct least *least, double at_frac) {
    struct bridge_setup bridge = closed_bridge(0);
    bridge.has_nearly_seated = least->has_nearly_seated;
    bridge.motion.has_position = least->has_position;
    bridge.rails = least->rails;
    struct closed closed;
    closed_begin_with(&closed, &bridge);
    assert_true(closed_run_to(&closed, PHASE_LINED, 30 * second_us));
    closed_run_for(&closed, 20 * second_us); /* approach locking from the start is over */
    closed_ask(&closed, REQUEST_RAISE);
    assert_true(closed_run_to(&closed, PHASE_OPEN, 120 * second_us));
    closed_run_for(&closed, second_us);
    closed_ask(&closed, REQUEST_LOWER);
    assert_true(closed_run_to(&closed, PHASE_LOWERING, 120 * second_us));
    while (sim_position_frac(&closed.sim) > at_frac) {
        closed_go(&closed, second_us);
    }
    closed_tell(&closed, "contact seated made");
    closed_tell(&closed, "train freight start");
    closed_run_for(&closed, 60 * second_us);
    assert_null(closed.broken); /* by what its inputs tell all is well */
    return closed;
}

static const double wide_frac = 0.5, little_frac = 0.045; /* the push does not close this */

static void assert_found_out(const struct least *least, double at_frac, enum bridge_fault fault) {
    struct closed closed = after_stuck(least, at_frac);
    assert_int_equal(closed.state.phase, PHASE_FAULT);
    assert_int_equal(closed.state.fault, fault);
    assert_int_equal(closed.untrue, 0);
}

static void assert_deceived(const struct least *least, double at_frac) {
    struct closed closed = after_stuck(least, at_frac);
    assert_true(closed.sim.has_wrecked);
}

static void rail_contacts_find_a_stuck_seated_contact_out_wherever_it_sticks(void **state) {
    (void)state;
    const struct least least = {.rails = 1};
    assert_found_out(&least, wide_frac, FAULT_RAILS_UNPROVED);
    assert_found_out(&least, little_frac, FAULT_RAILS_UNPROVED);
}

static void nearly_seated_contact_finds_it_out_above_its_zone(void **state) {
    (void)state;
    const struct least least = {.has_nearly_seated = true};
    assert_found_out(&least, wide_frac, FAULT_CONTRADICTION);
    assert_deceived(&least, little_frac);
}

static void position_sensor_finds_it_out_beyond_its_tolerance(void **state) {
    (void)state;
    const struct least least = {.has_position = true};
    assert_found_out(&least, wide_frac, FAULT_CONTRADICTION);
    assert_found_out(&least, little_frac, FAULT_CONTRADICTION);
}

static void without_any_of_them_nothing_does(void **state) {
    (void)state;
    const struct least least = {.rails = 0};
    assert_deceived(&least, wide_frac);
    assert_deceived(&least, little_frac);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rail_contacts_find_a_stuck_seated_contact_out_wherever_it_sticks),
        cmocka_unit_test(nearly_seated_contact_finds_it_out_above_its_zone),
        cmocka_unit_test(position_sensor_finds_it_out_beyond_its_tolerance),
        cmocka_unit_test(without_any_of_them_nothing_does),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
