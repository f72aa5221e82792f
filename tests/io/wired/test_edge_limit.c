#include "io/wired/edge_limit.h"
#include "support/check.h"

enum { SECOND_US = 1000000, MOST = 10 };

static void too_many_in_a_second_are_over(void **state) {
    (void)state;
    struct edge_limit limit = {.edges = 0};
    assert_false(edge_limit_is_over(&limit, MOST, MOST, 5 * SECOND_US));
    assert_false(edge_limit_is_over(&limit, 0, MOST, 6 * SECOND_US - 1));
    assert_true(edge_limit_is_over(&limit, 1, MOST, 6 * SECOND_US - 1));
    assert_int_equal(edge_limit_recent(&limit, 6 * SECOND_US - 1), MOST + 1);
    assert_int_equal(edge_limit_recent(&limit, 6 * SECOND_US), 0);
}

static void next_second_counts_anew(void **state) {
    (void)state;
    struct edge_limit limit = {.edges = 0};
    for (uint64_t second = 1; second < 100; second++) {
        assert_false(edge_limit_is_over(&limit, MOST, MOST, second * SECOND_US));
    }
    assert_false(edge_limit_is_over(&limit, MOST, MOST, 1)); /* a clock that was set back */
}

static void storm_ends_when_a_second_brings_nothing(void **state) {
    (void)state;
    struct edge_limit limit = {.edges = 0};
    assert_false(edge_limit_is_due(&limit, 5));
    assert_int_equal(edge_limit_wake_us(&limit, 5), UINT32_MAX);
    edge_limit_begin_storm(&limit);
    assert_int_equal(edge_limit_wake_us(&limit, 7), 0); /* at once, to know the time */
    assert_false(edge_limit_is_due(&limit, 7));
    assert_int_equal(edge_limit_wake_us(&limit, 7), SECOND_US);
    assert_false(edge_limit_is_due(&limit, 7 + SECOND_US - 1));
    assert_true(edge_limit_is_due(&limit, 7 + SECOND_US));
    edge_limit_looked(&limit, 3, 7 + SECOND_US);
    assert_true(limit.is_storm);
    assert_false(edge_limit_is_due(&limit, 7 + 2 * SECOND_US - 1));
    assert_true(edge_limit_is_due(&limit, 7 + 2 * SECOND_US));
    edge_limit_looked(&limit, 0, 7 + 2 * SECOND_US);
    assert_false(limit.is_storm);
    assert_false(edge_limit_is_due(&limit, 100 * (uint64_t)SECOND_US));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(too_many_in_a_second_are_over),
        cmocka_unit_test(next_second_counts_anew),
        cmocka_unit_test(storm_ends_when_a_second_brings_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
