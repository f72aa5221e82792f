/* What a bridge must be made of for the core to keep its invariants. */
#include "core/data/setup.h"
#include "support/check.h"
#include "support/core/core_parts.h"
#include "support/core/puppet.h"

#include <math.h>
#include <string.h>

static void assert_complains(const struct bridge_setup *setup, const char *of) {
    const char *fault = bridge_setup_fault(setup);
    assert_non_null(fault);
    if (strstr(fault, of) == NULL) {
        fail_msg("complains \"%s\" instead of \"%s\"", fault, of);
    }
}

static void whole_bridge_and_gate_are_sound(void **state) {
    (void)state;
    struct bridge_setup powered = puppet_setup();
    struct bridge_setup gate = puppet_hand_setup();
    assert_null(bridge_setup_fault(&powered));
    assert_null(bridge_setup_fault(&gate));
}

static void every_optional_part_may_be_absent(void **state) {
    (void)state;
    for (size_t i = 0; i < core_parts_count; i++) {
        struct bridge_setup setup = puppet_setup();
        *core_part_of(&setup, i) = false;
        assert_null(bridge_setup_fault(&setup));
    }
}

static void times_of_none_and_counts_out_of_range_are_refused(void **state) {
    (void)state;
    static const struct {
        size_t offset; /* of a uint32_t or an unsigned */
        uint32_t value;
        const char *want;
    } cases[] = {
        {offsetof(struct bridge_setup, tracks), 0, "1 to 4 tracks"},
        {offsetof(struct bridge_setup, tracks), BRIDGE_TRACKS_MAX + 1, "1 to 4 tracks"},
        {offsetof(struct bridge_setup, rails), BRIDGE_RAILS_MAX + 1, "at most 4 rail contacts"},
        {offsetof(struct bridge_setup, proof_limit_us), 0, "longest time"},
        {offsetof(struct bridge_setup, lock_limit_us), 0, "longest time"},
        {offsetof(struct bridge_setup, clearing_limit_us), 0, "longest time"},
        {offsetof(struct bridge_setup, short_blast_us), 0, "blasts"},
        {offsetof(struct bridge_setup, prolonged_blast_us), 0, "blasts"},
        {offsetof(struct bridge_setup, blast_gap_us), 0, "blasts"},
        {offsetof(struct bridge_setup, debounce_us), 500001, "half a second"},
        {offsetof(struct bridge_setup, track[0].end[0].approach_lock_us), 0, "approach locking"},
        {offsetof(struct bridge_setup, track[0].end[1].approach_lock_us), 0, "approach locking"},
        {offsetof(struct bridge_setup, motion.stall_us), 0, "every watch"},
        {offsetof(struct bridge_setup, motion.no_movement_us), 0, "every watch"},
        {offsetof(struct bridge_setup, motion.travel_limit_us), 0, "every watch"},
        {offsetof(struct bridge_setup, motion.seat_limit_us), 0, "every watch"},
        {offsetof(struct bridge_setup, motion.push_us), 15000000, "seating push"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bridge_setup setup = puppet_setup();
        *(uint32_t *)((char *)&setup + cases[i].offset) = cases[i].value;
        assert_complains(&setup, cases[i].want);
    }
}

static void measures_out_of_sense_are_refused(void **state) {
    (void)state;
    static const struct {
        size_t offset; /* of a double in struct motion_setup */
        double value;
        const char *want;
    } cases[] = {
        {offsetof(struct motion_setup, full_speed_frac_s), 0, "full speed and creep"},
        {offsetof(struct motion_setup, full_speed_frac_s), INFINITY, "full speed and creep"},
        {offsetof(struct motion_setup, full_speed_frac_s), NAN, "full speed and creep"},
        {offsetof(struct motion_setup, full_speed_frac_s), 0.009, "must not exceed"},
        {offsetof(struct motion_setup, creep_speed_frac_s), 0, "full speed and creep"},
        {offsetof(struct motion_setup, creep_speed_frac_s), -0.01, "full speed and creep"},
        {offsetof(struct motion_setup, creep_speed_frac_s), 0.041, "must not exceed"},
        {offsetof(struct motion_setup, acceleration_frac_s2), 0, "acceleration"},
        {offsetof(struct motion_setup, deceleration_frac_s2), 0, "acceleration"},
        {offsetof(struct motion_setup, slow_zone_seat_frac), 0, "slow zones"},
        {offsetof(struct motion_setup, slow_zone_open_frac), 0, "slow zones"},
        {offsetof(struct motion_setup, slow_zone_open_frac), 1.1, "slow zones"},
        {offsetof(struct motion_setup, slow_zone_open_frac), 0.95, "slow zones"},
        {offsetof(struct motion_setup, position_tolerance_frac), 0, "position tolerance"},
        {offsetof(struct motion_setup, position_tolerance_frac), NAN, "position tolerance"},
        {offsetof(struct motion_setup, position_tolerance_frac), 0.5, "seat and open"},
        {offsetof(struct motion_setup, position_tolerance_frac), 1, "seat and open"},
        {offsetof(struct motion_setup, overtravel_frac), 0, "position tolerance"},
        {offsetof(struct motion_setup, drift_frac), 0, "position tolerance"},
        {offsetof(struct motion_setup, no_movement_frac), 1.1, "position tolerance"},
        {offsetof(struct motion_setup, overspeed_ratio), 1, "overspeed"},
        {offsetof(struct motion_setup, overspeed_ratio), NAN, "overspeed"},
        {offsetof(struct motion_setup, stall_a), 0, "stall current"},
        {offsetof(struct motion_setup, effort_full), 0, "efforts"},
        {offsetof(struct motion_setup, effort_full), 1.1, "efforts"},
        {offsetof(struct motion_setup, effort_push), 0, "efforts"},
        {offsetof(struct motion_setup, effort_start), -0.1, "efforts"},
        {offsetof(struct motion_setup, effort_start), 0.6, "efforts"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bridge_setup setup = puppet_setup();
        *(double *)((char *)&setup.motion + cases[i].offset) = cases[i].value;
        assert_complains(&setup, cases[i].want);
    }
}

static void limits_themselves_are_allowed(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.debounce_us = BRIDGE_DEBOUNCE_MAX_US;
    setup.tracks = BRIDGE_TRACKS_MAX;
    for (unsigned t = 1; t < setup.tracks; t++) {
        setup.track[t] = setup.track[0];
    }
    setup.rails = BRIDGE_RAILS_MAX;
    setup.motion.creep_speed_frac_s = setup.motion.full_speed_frac_s;
    setup.motion.effort_start = setup.motion.effort_full = setup.motion.effort_push = 1;
    assert_null(bridge_setup_fault(&setup));
    setup.motion.effort_start = 0;
    setup.motion.slow_zone_seat_frac = setup.motion.slow_zone_open_frac = 0.5;
    setup.motion.position_tolerance_frac = 0.499;
    setup.motion.push_us = setup.motion.seat_limit_us - 1;
    assert_null(bridge_setup_fault(&setup));
}

static void powered_lift_needs_the_proofs_of_its_movement(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.has_open = setup.motion.has_position = false;
    assert_complains(&setup, "an open contact or a measured position");

    setup = puppet_setup();
    setup.motion.has_current = false; /* then its limit does not matter */
    setup.motion.stall_a = 0;
    assert_null(bridge_setup_fault(&setup));
}

/* Its drive's time may stand for a contact of the bar; a hand's may not. */
static void lock_bar_worked_by_hand_needs_its_contacts(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.has_locked = setup.has_withdrawn = false;
    assert_null(bridge_setup_fault(&setup));
    setup.has_lock_drive = false;
    assert_complains(&setup, "proves it locked");
    setup.has_locked = true;
    assert_complains(&setup, "proves it withdrawn");
    setup.has_withdrawn = true;
    assert_null(bridge_setup_fault(&setup));

    setup = puppet_hand_setup();
    assert_null(bridge_setup_fault(&setup));
    setup.has_locked = false;
    assert_complains(&setup, "proves it locked");
}

static void span_without_a_lock_bar_has_nothing_of_one(void **state) {
    (void)state;
    static const size_t parts[] = {offsetof(struct bridge_setup, has_lock_drive),
                                   offsetof(struct bridge_setup, has_locked),
                                   offsetof(struct bridge_setup, has_withdrawn)};
    for (unsigned hand = 0; hand < 2; hand++) {
        struct bridge_setup bare = hand ? puppet_hand_setup() : puppet_setup();
        bare.has_lock = bare.has_lock_drive = bare.has_locked = bare.has_withdrawn = false;
        assert_null(bridge_setup_fault(&bare));
        for (size_t i = hand; i < sizeof parts / sizeof parts[0]; i++) {
            struct bridge_setup setup = bare;
            *(bool *)((char *)&setup + parts[i]) = true;
            assert_complains(&setup, "no lock bar");
        }
    }
}

static void time_to_run_out_must_fit_into_the_wait_for_it(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.track[0].run_out_us = setup.clearing_limit_us;
    assert_null(bridge_setup_fault(&setup));
    setup.track[0].run_out_us++;
    assert_complains(&setup, "runs out");
}

static void binding_watch_needs_all_that_it_compares(void **state) {
    (void)state;
    struct bridge_setup watched = puppet_setup();
    watched.motion.binding_us = 1000000;
    watched.motion.binding_a = 0.5;
    for (int i = 0; i < MOTION_PLACES; i++) {
        watched.motion.expected_a[0][i] = watched.motion.expected_a[1][i] = 2;
    }
    assert_null(bridge_setup_fault(&watched));

    struct bridge_setup setup = watched;
    setup.motion.has_current = false;
    assert_complains(&setup, "binding watch");
    setup = watched;
    setup.motion.binding_a = 0;
    assert_complains(&setup, "binding watch");
    for (int way = 0; way < 2; way++) {
        setup = watched;
        setup.motion.expected_a[way][MOTION_PLACES - 1] = NAN;
        assert_complains(&setup, "binding watch");
        setup.motion.binding_us = 0; /* then nothing of it matters */
        assert_null(bridge_setup_fault(&setup));
    }
}

static void gate_has_no_drive_and_no_measures_of_one(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_hand_setup();
    setup.has_lock_drive = true;
    assert_complains(&setup, "no lock drive");

    setup = puppet_hand_setup();
    setup.motion.has_position = true;
    assert_complains(&setup, "contacts alone");

    setup = puppet_hand_setup();
    setup.motion.has_current = true;
    assert_complains(&setup, "contacts alone");
}

static void track_needs_an_end_and_only_used_ends_need_a_time(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.tracks = 2;
    setup.track[1] = setup.track[0];
    setup.track[1].end[0].is_used = setup.track[1].end[1].is_used = false;
    assert_complains(&setup, "at least one end");

    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        setup = puppet_setup();
        setup.track[0].end[e].is_used = false;
        setup.track[0].end[e].approach_lock_us = 0;
        assert_null(bridge_setup_fault(&setup));
    }
}

/* L1: without an approach detector each opening waits for the whole of approach locking. */
static void opening_may_wait_for_approach_locking(void **state) {
    (void)state;
    for (unsigned i = 0; i < 2 * TRACK_ENDS; i++) {
        struct bridge_setup setup = puppet_setup();
        setup.tracks = 2;
        setup.track[1] = setup.track[0];
        struct track_end_setup *end = &setup.track[i / 2].end[i % 2];
        end->approach_lock_us = setup.clearing_limit_us;
        assert_null(bridge_setup_fault(&setup));
        end->approach_lock_us++;
        assert_complains(&setup, "clearing limit");
        end->is_used = false;
        assert_null(bridge_setup_fault(&setup));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whole_bridge_and_gate_are_sound),
        cmocka_unit_test(every_optional_part_may_be_absent),
        cmocka_unit_test(times_of_none_and_counts_out_of_range_are_refused),
        cmocka_unit_test(measures_out_of_sense_are_refused),
        cmocka_unit_test(limits_themselves_are_allowed),
        cmocka_unit_test(powered_lift_needs_the_proofs_of_its_movement),
        cmocka_unit_test(lock_bar_worked_by_hand_needs_its_contacts),
        cmocka_unit_test(span_without_a_lock_bar_has_nothing_of_one),
        cmocka_unit_test(time_to_run_out_must_fit_into_the_wait_for_it),
        cmocka_unit_test(binding_watch_needs_all_that_it_compares),
        cmocka_unit_test(gate_has_no_drive_and_no_measures_of_one),
        cmocka_unit_test(track_needs_an_end_and_only_used_ends_need_a_time),
        cmocka_unit_test(opening_may_wait_for_approach_locking),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
