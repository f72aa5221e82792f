/* Arbitrary bridges in arbitrary worlds: S1 to S5 and S9 hold whatever goes in, and no part of the
 * setup switches one of them off (S10); afterwards, all in order again, it opens and is lined (L1).
 */
#include "core/timing.h"
#include "core/words/names.h"
#include "support/check.h"
#include "support/core/core_parts.h"
#include "support/core/core_walk.h"
#include "support/core/puppet.h"

enum { WILD_STEPS = 3000, LIKELY_STEPS = 6000, SETUPS = 40 };

/* What all walks of a test have met together: a walk that meets nothing proves nothing. */
struct met {
    unsigned steps_in[BRIDGE_PHASES];
    unsigned driven, jogged, withdrawing, locking, at_proceed, words, gaps;
};

/* The walk as it stands in the end. */
static struct walk walk_as_set_up(const struct bridge_setup *setup, enum walk_kind kind,
                                  uint32_t seed, unsigned steps, struct met *met) {
    struct walk w;
    assert_null(bridge_setup_fault(setup));
    walk_start(&w, kind, setup, seed);
    for (unsigned i = 0; i < steps; i++) {
        enum bridge_phase before = w.state.phase;
        if (walk_random(&w, 2000) == 0) {
            walk_restart(&w);
        }
        const char *broken = walk_step(&w);
        if (broken != NULL) {
            fail_msg("seed %u, step %u, %s to %s: %s", seed, i, bridge_phase_name(before),
                     bridge_phase_name(w.state.phase), broken);
        }
    }
    for (unsigned i = 0; i < BRIDGE_PHASES; i++) {
        met->steps_in[i] += w.steps_in[i];
    }
    met->driven += w.steps_driven;
    met->jogged += w.steps_jogged;
    met->withdrawing += w.steps_withdrawing;
    met->locking += w.steps_locking;
    met->at_proceed += w.steps_at_proceed;
    met->words += w.words;
    met->gaps += w.gaps;
    return w;
}

static void walk(const struct bridge_setup *setup, enum walk_kind kind, uint32_t seed,
                 unsigned steps, struct met *met) {
    struct bridge_setup locking = *setup;
    for (unsigned t = 0; t < locking.tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) { /* longer than any warning could hide it */
            locking.track[t].end[e].approach_lock_us = 40000000;
        }
    }
    walk_as_set_up(&locking, kind, seed, steps, met);
}

static void assert_has_seen_all(const struct met *met) {
    for (unsigned i = PHASE_LINED; i < BRIDGE_PHASES; i++) { /* unproved may last no whole step */
        assert_true(met->steps_in[i] > 0);
    }
    assert_true(met->driven > 0 && met->jogged > 0);
    assert_true(met->withdrawing > 0 && met->locking > 0);
    assert_true(met->at_proceed > 100);
}

static void whole_bridge_and_gate_keep_the_invariants(void **state) {
    (void)state;
    struct bridge_setup powered = puppet_setup();
    struct bridge_setup gate = puppet_hand_setup();
    struct met met = {0};
    walk(&powered, WALK_LIKELY, 1, 10 * LIKELY_STEPS, &met);
    assert_has_seen_all(&met);
    walk(&powered, WALK_WILD, 2, 10 * WILD_STEPS, &met);
    walk(&gate, WALK_LIKELY, 3, LIKELY_STEPS, &met);
    walk(&gate, WALK_WILD, 4, WILD_STEPS, &met);
}

static void s10_each_part_absent_alone_switches_no_invariant_off(void **state) {
    (void)state;
    for (size_t i = 0; i < core_parts_count; i++) {
        struct bridge_setup setup = puppet_setup();
        struct met met = {0};
        *core_part_of(&setup, i) = false;
        core_parts_make_sound(&setup);
        walk(&setup, WALK_LIKELY, 100 + (uint32_t)i, LIKELY_STEPS, &met);
        assert_true(met.driven > 0);
        walk(&setup, WALK_WILD, 200 + (uint32_t)i, WILD_STEPS, &met);
    }
}

static void s10_each_part_present_alone_switches_no_invariant_off(void **state) {
    (void)state;
    for (size_t i = 0; i < core_parts_count; i++) {
        struct bridge_setup setup = puppet_setup();
        struct met met = {0};
        for (size_t k = 0; k < core_parts_count; k++) {
            *core_part_of(&setup, k) = k == i;
        }
        core_parts_make_sound(&setup);
        walk(&setup, WALK_LIKELY, 300 + (uint32_t)i, LIKELY_STEPS, &met);
        assert_true(met.driven > 0);
        walk(&setup, WALK_WILD, 400 + (uint32_t)i, WILD_STEPS, &met);
    }
}

/* Two limit switches; with approach detectors and a time as well; with neither contact of the bar.
 */
static void bridges_with_few_sensors_keep_the_invariants(void **state) {
    (void)state;
    struct met met = {0};
    for (unsigned kind = 0; kind < 3; kind++) {
        struct bridge_setup setup = puppet_setup();
        for (size_t i = 0; i < core_parts_count; i++) {
            *core_part_of(&setup, i) = false;
        }
        setup.has_open = true;
        setup.has_lock = setup.has_lock_drive = kind == 2;
        setup.rails = 0;
        setup.track[0].end[0].has_approach_detector = kind > 0;
        setup.track[0].end[0].is_automatic = true;
        setup.track[0].run_out_us = kind > 0 ? 20000000 : 0;
        walk(&setup, WALK_LIKELY, 900 + kind, 4 * LIKELY_STEPS, &met);
        walk(&setup, WALK_WILD, 910 + kind, WILD_STEPS, &met);
    }
    assert_true(met.driven > 0 && met.withdrawing > 0 && met.locking > 0);
    assert_true(met.words > 0 && met.gaps > 0);
}

static void s10_no_mixture_of_parts_counts_and_times_switches_one_off(void **state) {
    (void)state;
    struct walk mixer = {.random = 2024};
    struct met met = {0};
    for (uint32_t i = 0; i < SETUPS; i++) {
        struct bridge_setup setup = walk_random_setup(&mixer);
        walk(&setup, WALK_LIKELY, 500 + i, LIKELY_STEPS / 3, &met);
        walk_as_set_up(&setup, WALK_LIKELY, 700 + i, LIKELY_STEPS / 3, &met);
        walk_as_set_up(&setup, WALK_WILD, 600 + i, WILD_STEPS / 2, &met);
    }
    assert_has_seen_all(&met);
}

/* ---- and then left in peace */

enum { PEACE_STEP_US = 100000, PEACE_STEPS = 5000 };

static enum bridge_answer step_in_order(struct walk *w, uint32_t seed,
                                        enum bridge_request_kind kind, int direction) {
    enum bridge_answer answer;
    uint32_t dt_us = walk_random(w, 5) == 0 ? 0 : PEACE_STEP_US;
    const char *broken = walk_in_order(w, kind, direction, dt_us, &answer);
    if (broken != NULL) {
        fail_msg("seed %u, in order, in %s: %s", seed, bridge_phase_name(w->state.phase), broken);
    }
    return answer;
}

/* Whatever had been under way is acknowledged and held where it is, and trains come to rest. */
static void calm(struct walk *w, uint32_t seed) {
    for (unsigned i = 0; i < PEACE_STEPS / 5; i++) {
        bool is_fault = w->state.phase == PHASE_FAULT;
        step_in_order(w, seed, is_fault ? REQUEST_ACKNOWLEDGE : REQUEST_STOP, 0);
    }
}

static void reach(struct walk *w, uint32_t seed, int direction) {
    bool is_up = direction > 0;
    bool tells_open = !w->setup.is_hand_lifted || w->setup.has_open;
    enum bridge_phase want = !is_up ? PHASE_LINED : tells_open ? PHASE_OPEN : PHASE_RAISING;
    enum bridge_answer answer =
        step_in_order(w, seed, is_up ? REQUEST_RAISE : REQUEST_LOWER, direction);
    assert_true(bridge_answer_is_granted(answer));
    for (unsigned i = 0; w->state.phase != want; i++) {
        if (i == PEACE_STEPS || w->state.phase == PHASE_FAULT) {
            fail_msg("seed %u: %s, %s instead of %s", seed, bridge_phase_name(w->state.phase),
                     bridge_fault_name(w->state.fault), bridge_phase_name(want));
        }
        bool is_word_wanted =
            bridge_waiting(&w->setup, &w->state, &w->inputs).what == WAIT_SEEN_CLEAR;
        step_in_order(w, seed, is_word_wanted ? REQUEST_SEEN_CLEAR : REQUEST_NONE, direction);
    }
}

static void l1_any_mixture_left_in_peace_opens_and_is_lined_again(void **state) {
    (void)state;
    struct walk mixer = {.random = 4202};
    for (uint32_t i = 0; i < SETUPS; i++) {
        struct bridge_setup setup = walk_random_setup(&mixer);
        /* Where no proof or contact tells, these are waited for whole. */
        setup.proof_limit_us = sooner_us(setup.proof_limit_us, puppet_setup().proof_limit_us);
        setup.lock_limit_us = sooner_us(setup.lock_limit_us, puppet_setup().lock_limit_us);
        uint32_t seed = 800 + i;
        struct met met = {0};
        enum walk_kind kind = i % 4 == 0 ? WALK_WILD : WALK_LIKELY;
        struct walk w = walk_as_set_up(&setup, kind, seed, 500, &met);
        /* A hand or an accident has moved the span: only a start forgets where it was thought. */
        walk_restart(&w);
        calm(&w, seed);
        for (unsigned moves = 0; moves < 3; moves++) {
            reach(&w, seed, (i + moves) % 2 == 0 ? 1 : -1);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whole_bridge_and_gate_keep_the_invariants),
        cmocka_unit_test(s10_each_part_absent_alone_switches_no_invariant_off),
        cmocka_unit_test(s10_each_part_present_alone_switches_no_invariant_off),
        cmocka_unit_test(bridges_with_few_sensors_keep_the_invariants),
        cmocka_unit_test(s10_no_mixture_of_parts_counts_and_times_switches_one_off),
        cmocka_unit_test(l1_any_mixture_left_in_peace_opens_and_is_lined_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
