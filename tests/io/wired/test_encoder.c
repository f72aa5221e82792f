#include "io/wired/encoder.h"
#include "support/check.h"

#include <math.h>

/* One turn of the four states, A leading: A rises, B rises, A falls, B falls. */
static void turn(struct encoder *encoder, bool is_raising) {
    static const struct {
        unsigned channel;
        bool level;
    } up[] = {{0, true}, {1, true}, {0, false}, {1, false}};
    static const struct {
        unsigned channel;
        bool level;
    } down[] = {{1, true}, {0, true}, {1, false}, {0, false}};
    for (unsigned i = 0; i < 4; i++) {
        encoder_edge(encoder, is_raising ? up[i].channel : down[i].channel,
                     is_raising ? up[i].level : down[i].level);
    }
}

static void quadrature_counts_both_ways(void **state) {
    (void)state;
    struct encoder encoder;
    encoder_start(&encoder, true, false, false);
    encoder_anchor(&encoder, 0);
    turn(&encoder, true);
    turn(&encoder, true);
    assert_int_equal(encoder.count, 8);
    turn(&encoder, false);
    assert_int_equal(encoder.count, 4);
    assert_true(encoder_position(&encoder, 16) == 0.25);
}

static void rocking_on_one_edge_counts_nothing(void **state) {
    (void)state;
    struct encoder encoder;
    encoder_start(&encoder, true, false, false);
    encoder_anchor(&encoder, 5);
    for (unsigned i = 0; i < 3; i++) {
        encoder_edge(&encoder, 0, true);
        encoder_edge(&encoder, 0, false);
    }
    assert_int_equal(encoder.count, 5);
    assert_false(encoder.is_lost);
}

static void starts_from_any_state(void **state) {
    (void)state;
    struct encoder encoder;
    encoder_start(&encoder, true, true, true);
    encoder_anchor(&encoder, 0);
    encoder_edge(&encoder, 0, false);
    encoder_edge(&encoder, 1, false);
    assert_int_equal(encoder.count, 2);
}

static void single_channel_takes_the_lifts_direction(void **state) {
    (void)state;
    struct encoder encoder;
    encoder_start(&encoder, false, false, false);
    encoder_anchor(&encoder, 10);
    encoder_drive(&encoder, -1);
    encoder_edge(&encoder, 0, true);
    encoder_drive(&encoder, 0); /* runs on */
    encoder_edge(&encoder, 0, false);
    assert_int_equal(encoder.count, 8);
    encoder_drive(&encoder, 1);
    encoder_edge(&encoder, 0, true);
    assert_int_equal(encoder.count, 9);
}

static void single_channel_moved_by_nobody_is_lost(void **state) {
    (void)state;
    struct encoder encoder;
    encoder_start(&encoder, false, false, false);
    encoder_anchor(&encoder, 0);
    encoder_edge(&encoder, 0, true);
    assert_true(isnan(encoder_position(&encoder, 10)));
}

static void position_is_unknown_until_anchored(void **state) {
    (void)state;
    struct encoder encoder;
    encoder_start(&encoder, true, false, false);
    assert_true(isnan(encoder_position(&encoder, 10)));
    turn(&encoder, true);
    encoder_anchor(&encoder, 10);
    assert_true(encoder_position(&encoder, 10) == 1);
}

static void missed_edge_loses_the_position_until_the_next_anchor(void **state) {
    (void)state;
    struct encoder encoder;
    encoder_start(&encoder, true, false, false);
    encoder_anchor(&encoder, 0);
    encoder_edge(&encoder, 0, true);
    encoder_edge(&encoder, 0, true);
    assert_true(isnan(encoder_position(&encoder, 10)));
    turn(&encoder, true);
    assert_true(isnan(encoder_position(&encoder, 10)));
    encoder_anchor(&encoder, 0);
    assert_true(encoder_position(&encoder, 10) == 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quadrature_counts_both_ways),
        cmocka_unit_test(rocking_on_one_edge_counts_nothing),
        cmocka_unit_test(starts_from_any_state),
        cmocka_unit_test(single_channel_takes_the_lifts_direction),
        cmocka_unit_test(single_channel_moved_by_nobody_is_lost),
        cmocka_unit_test(position_is_unknown_until_anchored),
        cmocka_unit_test(missed_edge_loses_the_position_until_the_next_anchor),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
