/* L1, and no fault without a cause, in every state of small bridges in a world that obeys them. */
#include "prove/walks/progress.h"
#include "support/check.h"

static struct progress walk(const char *name) {
    struct scene scene;
    assert_true(scene_find(name, &scene));
    return progress_walk(&scene);
}

static void l1_requests_are_reached_without_fault_on_powered_bridges(void **state) {
    (void)state;
    static const char *const names[] = {"one-end",         "no-position",    "bare",
                                        "no-waiting",      "contacts-alone", "approach-alone",
                                        "span-alone",      "blind-lock",     "locked-alone",
                                        "withdrawn-alone", "throttle"};
    const uint32_t all_but_fault = ((1u << BRIDGE_PHASES) - 1) & ~(1u << PHASE_FAULT);
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        struct progress result = walk(names[i]);
        assert_null(result.broken);
        assert_int_equal(result.phases, all_but_fault);
        assert_true(result.standing > 0);
    }
}

static void l1_requests_are_reached_without_fault_by_hand(void **state) {
    (void)state;
    const uint32_t powered_only = 1u << PHASE_SEATING | 1u << PHASE_HELD | 1u << PHASE_LOWERING;
    static const char *const names[] = {"hand", "hand-alone"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        struct progress result = walk(names[i]);
        assert_null(result.broken);
        assert_int_equal(result.phases | powered_only,
                         ((1u << BRIDGE_PHASES) - 1) & ~(1u << PHASE_FAULT));
        assert_true(result.standing > 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(l1_requests_are_reached_without_fault_on_powered_bridges),
        cmocka_unit_test(l1_requests_are_reached_without_fault_by_hand),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
