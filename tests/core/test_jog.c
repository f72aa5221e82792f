/* Jogging: a held or open span creeps for as long as somebody keeps asking, and only where the lift
 * may be driven at all. */
#include "core/bridge.h"
#include "core/motion.h"
#include "core/sequence.h"
#include "support/check.h"
#include "support/core/core_near.h"
#include "support/core/puppet.h"

#include <math.h>

enum { STEP_US = 10000 };

static enum bridge_answer jog(struct puppet *p, enum bridge_request_kind kind) {
    return puppet_step(p, kind, STEP_US);
}

static struct puppet held(void) {
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_HELD);
    puppet_run_for(&p, 2000000);
    return p;
}

static void jog_creeps_and_ends_by_itself(void **state) {
    (void)state;
    for (int up = 0; up < 2; up++) {
        struct puppet p = held();
        double from_frac = p.span_frac;
        assert_int_equal(jog(&p, up ? REQUEST_JOG_UP : REQUEST_JOG_DOWN), ANSWER_GRANTED);
        assert_true(up ? p.outputs.lift_effort > 0 : p.outputs.lift_effort < 0);
        assert_int_equal(bridge_wake_us(&p.setup, &p.state), MOTION_PERIOD_US);
        uint32_t driven_us = 0;
        for (; p.outputs.lift_effort != 0; driven_us += STEP_US) {
            assert_true(p.state.motion.speed_frac_s <= p.setup.motion.creep_speed_frac_s);
            assert_int_equal(p.state.phase, PHASE_HELD);
            jog(&p, REQUEST_NONE);
        }
        assert_int_equal(driven_us, JOG_US);
        assert_true(up ? p.span_frac > from_frac : p.span_frac < from_frac);
    }
}

static void jog_goes_on_while_it_is_asked_for(void **state) {
    (void)state;
    struct puppet p = held();
    jog(&p, REQUEST_JOG_UP);
    for (unsigned i = 1; i < 200; i++) { /* asked every 300 ms */
        jog(&p, i % 30 == 0 ? REQUEST_JOG_UP : REQUEST_NONE);
        assert_true(p.outputs.lift_effort > 0);
    }
    jog(&p, REQUEST_JOG_DOWN); /* and turns at once */
    assert_true(p.outputs.lift_effort < 0);
}

static void jog_drives_no_harder_than_asked_nor_than_creep_takes(void **state) {
    (void)state;
    static const struct {
        double asked, least, most;
    } cases[] = {{0.01, 0.01, 0.01}, {0, 0.05, 0.6}, {1, 0.05, 0.6}, {(double)NAN, 0.05, 0.6}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet p = held();
        p.setup.motion.no_movement_us = 10000000; /* nobody moves it here */
        motion_forget_watches(&p.state.motion);
        const struct bridge_request request = {.kind = REQUEST_JOG_DOWN,
                                               .effort_most = cases[i].asked};
        double creep = p.setup.motion.effort_start +
                       (p.setup.motion.effort_full - p.setup.motion.effort_start) *
                           p.setup.motion.creep_speed_frac_s / p.setup.motion.full_speed_frac_s;
        for (unsigned k = 0; k < 300; k++) {
            bridge_step(&p.setup, &p.state, &p.inputs, &request, STEP_US, &p.outputs);
            assert_true(p.outputs.lift_effort < 0);
            assert_true(-p.outputs.lift_effort <= creep + 1e-12);
        }
        double want = cases[i].asked == 0.01 ? 0.01 : creep;
        assert_near(-p.outputs.lift_effort, want, 1e-9);
    }
}

/* A person has looked: what was counted against the drive before the fault is done with. */
static void acknowledged_fault_gives_the_drive_its_time_anew(void **state) {
    (void)state;
    struct puppet p = held();
    jog(&p, REQUEST_JOG_UP);
    jog(&p, REQUEST_NONE);
    jog(&p, REQUEST_EMERGENCY_STOP);
    assert_true(p.state.motion.no_movement[0].ease_us > 0);
    assert_int_equal(jog(&p, REQUEST_ACKNOWLEDGE), ANSWER_GRANTED);
    assert_int_equal(p.state.motion.no_movement[0].ease_us, 0);
}

static void stop_ends_a_jog_in_its_own_step(void **state) {
    (void)state;
    struct puppet p = held();
    jog(&p, REQUEST_JOG_UP);
    assert_int_equal(jog(&p, REQUEST_STOP), ANSWER_GRANTED);
    assert_true(p.outputs.lift_effort == 0);
    assert_int_equal(jog(&p, REQUEST_STOP), ANSWER_ALREADY);
    jog(&p, REQUEST_NONE);
    assert_true(p.outputs.lift_effort == 0);
}

static void fault_ends_a_jog_in_its_own_step(void **state) {
    (void)state;
    for (int i = 0; i < 4; i++) {
        struct puppet p = held();
        jog(&p, REQUEST_JOG_UP);
        p.is_frozen = true;
        switch (i) {
        case 0:
            p.inputs.stop_circuit = LEVEL_OFF;
            break;
        case 1:
            p.inputs.current_a = NAN;
            break;
        case 2:
            p.inputs.track[0].span_clear = LEVEL_OFF;
            break;
        case 3:
            p.inputs.position_frac = 2; /* overtravel */
            break;
        }
        jog(&p, REQUEST_JOG_UP);
        assert_int_equal(p.state.phase, PHASE_FAULT);
        assert_true(p.outputs.lift_effort == 0);
        assert_int_equal(p.state.jog.left_us, 0);
    }
}

static void jog_ends_where_the_lift_may_not_be_driven(void **state) {
    (void)state;
    struct puppet p = held();
    jog(&p, REQUEST_JOG_UP);
    p.is_frozen = true;
    p.inputs.withdrawn = LEVEL_OFF;
    for (int i = 0; i < 20 && p.state.jog.left_us > 0; i++) { /* debounced */
        jog(&p, REQUEST_NONE);
    }
    assert_int_equal(p.state.jog.left_us, 0);
    assert_true(p.outputs.lift_effort == 0);
    assert_int_equal(p.state.phase, PHASE_HELD);
    assert_int_equal(jog(&p, REQUEST_JOG_UP), ANSWER_NOT_SAFE);
    assert_true(p.outputs.lift_effort == 0);
}

/* Its watches stay in force: driven against something, it faults as ever. */
static void jog_against_an_obstacle_is_a_fault(void **state) {
    (void)state;
    struct puppet p = held();
    p.is_frozen = true;
    for (unsigned i = 0; i < 2000 && p.state.phase == PHASE_HELD; i++) {
        jog(&p, REQUEST_JOG_UP);
    }
    assert_int_equal(p.state.phase, PHASE_FAULT);
    assert_int_equal(p.state.fault, FAULT_NO_MOVEMENT);
}

static void jog_up_ends_at_open_and_is_not_taken_there(void **state) {
    (void)state;
    struct puppet p = held();
    for (unsigned i = 0; i < 20000 && p.state.contacts.open.believed != LEVEL_ON; i++) {
        jog(&p, REQUEST_JOG_UP);
    }
    assert_true(p.outputs.lift_effort == 0); /* in the step that believes it open */
    assert_int_equal(p.state.jog.left_us, 0);
    puppet_run_for(&p, 2000000);
    assert_int_equal(p.state.phase, PHASE_HELD);
    assert_int_equal(jog(&p, REQUEST_JOG_UP), ANSWER_ALREADY);
    assert_true(p.outputs.lift_effort == 0);
}

/* Green means open and at rest. */
static void open_span_that_is_jogged_is_held_and_shows_red(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_OPEN);
    puppet_run_for(&p, 2000000);
    assert_int_equal(p.outputs.river, RIVER_GREEN);
    assert_int_equal(jog(&p, REQUEST_JOG_DOWN), ANSWER_GRANTED);
    assert_true(p.outputs.lift_effort < 0);
    assert_int_equal(p.outputs.river, RIVER_RED);
    assert_int_equal(p.state.phase, PHASE_HELD);
    assert_int_equal(p.state.goal, GOAL_NONE);
}

static void request_to_move_ends_a_jog(void **state) {
    (void)state;
    struct puppet p = held();
    jog(&p, REQUEST_JOG_DOWN);
    jog(&p, REQUEST_RAISE);
    assert_int_equal(p.state.jog.left_us, 0);
    assert_true(p.outputs.lift_effort == 0);
    assert_true(puppet_run_to(&p, PHASE_OPEN, 300000000));
}

/* The way out of set-up: down on the seat, lock and prove. */
static void span_jogged_to_its_seat_is_lined_by_lower(void **state) {
    (void)state;
    struct puppet p = held();
    for (unsigned i = 0; i < 20000 && p.inputs.seated != LEVEL_ON; i++) {
        jog(&p, REQUEST_JOG_DOWN);
    }
    assert_int_equal(p.state.phase, PHASE_HELD);
    assert_int_equal(jog(&p, REQUEST_LOWER), ANSWER_GRANTED);
    assert_true(puppet_run_to(&p, PHASE_LINED, 60000000));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(jog_creeps_and_ends_by_itself),
        cmocka_unit_test(jog_goes_on_while_it_is_asked_for),
        cmocka_unit_test(jog_drives_no_harder_than_asked_nor_than_creep_takes),
        cmocka_unit_test(acknowledged_fault_gives_the_drive_its_time_anew),
        cmocka_unit_test(stop_ends_a_jog_in_its_own_step),
        cmocka_unit_test(fault_ends_a_jog_in_its_own_step),
        cmocka_unit_test(jog_ends_where_the_lift_may_not_be_driven),
        cmocka_unit_test(jog_against_an_obstacle_is_a_fault),
        cmocka_unit_test(jog_up_ends_at_open_and_is_not_taken_there),
        cmocka_unit_test(open_span_that_is_jogged_is_held_and_shows_red),
        cmocka_unit_test(request_to_move_ends_a_jog),
        cmocka_unit_test(span_jogged_to_its_seat_is_lined_by_lower),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
