/* Arbitrary bridges in arbitrary worlds: S1 to S5 and S9 hold whatever goes in, and no part of the
 * setup switches one of them off (S10). */
#include "core/names.h"
#include "support/check.h"
#include "support/core_parts.h"
#include "support/core_walk.h"
#include "support/puppet.h"

enum { WILD_STEPS = 3000, LIKELY_STEPS = 6000, SETUPS = 40 };

/* What all walks of a test have seen together: a walk that meets nothing proves nothing. */
struct seen {
    unsigned steps_in[BRIDGE_PHASES];
    unsigned driven, jogged, withdrawing, locking, at_proceed;
};

static void walk(const struct bridge_setup *setup, enum walk_kind kind, uint32_t seed,
                 unsigned steps, struct seen *seen) {
    struct walk w;
    struct bridge_setup locking = *setup;
    for (unsigned t = 0; t < locking.tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) { /* longer than any warning could hide it */
            locking.track[t].end[e].approach_lock_us = 40000000;
        }
    }
    assert_null(bridge_setup_fault(&locking));
    walk_start(&w, kind, &locking, seed);
    for (unsigned i = 0; i < steps; i++) {
        enum bridge_phase before = w.state.phase;
        const char *broken = walk_step(&w);
        if (broken != NULL) {
            fail_msg("seed %u, step %u, %s to %s: %s", seed, i, bridge_phase_name(before),
                     bridge_phase_name(w.state.phase), broken);
        }
    }
    for (unsigned i = 0; i < BRIDGE_PHASES; i++) {
        seen->steps_in[i] += w.steps_in[i];
    }
    seen->driven += w.steps_driven;
    seen->jogged += w.steps_jogged;
    seen->withdrawing += w.steps_withdrawing;
    seen->locking += w.steps_locking;
    seen->at_proceed += w.steps_at_proceed;
}

static void assert_has_seen_all(const struct seen *seen) {
    for (unsigned i = PHASE_LINED; i < BRIDGE_PHASES; i++) { /* unproved may last no whole step */
        assert_true(seen->steps_in[i] > 0);
    }
    assert_true(seen->driven > 0 && seen->jogged > 0);
    assert_true(seen->withdrawing > 0 && seen->locking > 0);
    assert_true(seen->at_proceed > 100);
}

static void whole_bridge_and_gate_keep_the_invariants(void **state) {
    (void)state;
    struct bridge_setup powered = puppet_setup();
    struct bridge_setup gate = puppet_hand_setup();
    struct seen seen = {0};
    walk(&powered, WALK_LIKELY, 1, 10 * LIKELY_STEPS, &seen);
    assert_has_seen_all(&seen);
    walk(&powered, WALK_WILD, 2, 10 * WILD_STEPS, &seen);
    walk(&gate, WALK_LIKELY, 3, LIKELY_STEPS, &seen);
    walk(&gate, WALK_WILD, 4, WILD_STEPS, &seen);
}

static void s10_each_part_absent_alone_switches_no_invariant_off(void **state) {
    (void)state;
    for (size_t i = 0; i < core_parts_count; i++) {
        struct bridge_setup setup = puppet_setup();
        struct seen seen = {0};
        *core_part_of(&setup, i) = false;
        walk(&setup, WALK_LIKELY, 100 + (uint32_t)i, LIKELY_STEPS, &seen);
        assert_true(seen.driven > 0);
        walk(&setup, WALK_WILD, 200 + (uint32_t)i, WILD_STEPS, &seen);
    }
}

static void s10_each_part_present_alone_switches_no_invariant_off(void **state) {
    (void)state;
    for (size_t i = 0; i < core_parts_count; i++) {
        struct bridge_setup setup = puppet_setup();
        struct seen seen = {0};
        for (size_t k = 0; k < core_parts_count; k++) {
            *core_part_of(&setup, k) = k == i;
        }
        setup.has_open = setup.has_open || !setup.motion.has_position; /* one of the two it needs */
        walk(&setup, WALK_LIKELY, 300 + (uint32_t)i, LIKELY_STEPS, &seen);
        assert_true(seen.driven > 0);
        walk(&setup, WALK_WILD, 400 + (uint32_t)i, WILD_STEPS, &seen);
    }
}

static void s10_no_mixture_of_parts_counts_and_times_switches_one_off(void **state) {
    (void)state;
    struct walk mixer = {.random = 2024};
    struct seen seen = {0};
    for (uint32_t i = 0; i < SETUPS; i++) {
        struct bridge_setup setup = walk_random_setup(&mixer);
        walk(&setup, WALK_LIKELY, 500 + i, LIKELY_STEPS, &seen);
        walk(&setup, WALK_WILD, 600 + i, WILD_STEPS, &seen);
    }
    assert_has_seen_all(&seen);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whole_bridge_and_gate_keep_the_invariants),
        cmocka_unit_test(s10_each_part_absent_alone_switches_no_invariant_off),
        cmocka_unit_test(s10_each_part_present_alone_switches_no_invariant_off),
        cmocka_unit_test(s10_no_mixture_of_parts_counts_and_times_switches_one_off),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
