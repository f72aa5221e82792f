/* Lines that chatter without end: they read nothing, and do not keep the loop from its other work.
 */
#include "io/wired/edge_limit.h"
#include "io/wired/wired.h"
#include "support/check.h"
#include "support/io/fake_gpio.h"
#include "support/io/wired_stage.h"

#include <math.h>

enum { SECOND_US = 1000000, PIN_MORE = 20, MORE = 8 };

/* Edges of a line, taken as they come; an even number of them leaves the level as it was. */
static void chatter(struct wired_stage *stage, unsigned pin, unsigned edges, uint64_t now_us) {
    for (unsigned i = 0; i < edges; i++) {
        fake_gpio_set(0, pin, !fake_gpio_level(0, pin));
        wired_stage_turn(stage);
        wired_stage_sense(stage, now_us);
    }
    wired_stage_sense(stage, now_us);
}

/* How often the loop is woken by edges that come in one go. */
static unsigned wakes(struct wired_stage *stage, unsigned pin, unsigned edges) {
    unsigned before = stage->changes;
    for (unsigned i = 0; i < edges; i++) {
        fake_gpio_set(0, pin, !fake_gpio_level(0, pin));
        wired_stage_turn(stage);
    }
    return stage->changes - before;
}

static void open_quiet(struct wired_stage *stage) {
    wired_stage_prepare(stage);
    stage->setup.heartbeat.pin.is_used = false;
    wired_stage_open(stage);
    wired_stage_cycle(stage, 0);
}

static void s5_line_in_a_storm_reads_nothing_until_it_is_quiet(void **state) {
    (void)state;
    struct wired_stage stage;
    open_quiet(&stage);
    chatter(&stage, PIN_OPEN, EDGE_LIMIT_LINE, 1);
    assert_int_equal(stage.inputs.open, LEVEL_OFF);
    chatter(&stage, PIN_OPEN, 2, 1);
    assert_int_equal(stage.inputs.open, LEVEL_UNKNOWN);
    assert_int_equal(stage.inputs.seated, LEVEL_OFF); /* the others are read as ever */
    assert_int_equal(wakes(&stage, PIN_OPEN, 8), 0);
    assert_int_equal(wakes(&stage, PIN_SEATED, 1), 1);

    wired_stage_sense(&stage, SECOND_US); /* not due, a second after 1 */
    wired_stage_sense(&stage, SECOND_US + 1);
    assert_int_equal(stage.inputs.open, LEVEL_UNKNOWN); /* edges had come in this second */
    fake_gpio_set(0, PIN_OPEN, true);
    wired_stage_sense(&stage, 2 * SECOND_US + 1); /* and in this */
    assert_int_equal(stage.inputs.open, LEVEL_UNKNOWN);
    assert_true(wired_ops.wake_us(stage.port) <= SECOND_US);
    wired_stage_sense(&stage, 3 * SECOND_US);
    assert_int_equal(stage.inputs.open, LEVEL_UNKNOWN);
    wired_stage_sense(&stage, 3 * SECOND_US + 1);
    assert_int_equal(stage.inputs.open, LEVEL_ON);
    assert_int_equal(wakes(&stage, PIN_OPEN, 1), 1); /* it is listened to again */
    chatter(&stage, PIN_OPEN, EDGE_LIMIT_LINE - 1, 3 * SECOND_US + 2);
    assert_int_equal(stage.inputs.open, LEVEL_ON); /* with a count of its own */
    wired_stage_end(&stage);
}

static void storm_of_a_second_contact_makes_the_pair_unknown(void **state) {
    (void)state;
    struct wired_stage stage;
    open_quiet(&stage);
    chatter(&stage, PIN_LOCKED_TOO, EDGE_LIMIT_LINE + 2, 1);
    assert_int_equal(stage.inputs.locked, LEVEL_UNKNOWN);
    wired_stage_end(&stage);
}

static void chatter_that_the_loop_can_bear_goes_on_being_read(void **state) {
    (void)state;
    struct wired_stage stage;
    open_quiet(&stage);
    for (uint64_t second = 1; second <= 10; second++) {
        fake_gpio.now_us = second * SECOND_US;
        chatter(&stage, PIN_OPEN, EDGE_LIMIT_LINE, second * SECOND_US);
        assert_int_equal(stage.inputs.open, LEVEL_OFF);
    }
    wired_stage_end(&stage);
}

/* None of them alone has too many. */
static void of_all_lines_together_the_busiest_gives_way(void **state) {
    (void)state;
    static const unsigned lines[MORE] = {1, 3, 4, 6, 8, 9, 10, 11};
    struct wired_stage stage;
    wired_stage_prepare(&stage);
    for (unsigned i = 0; i < MORE; i++) {
        stage.setup.input[stage.setup.inputs++] =
            (struct wired_input){.line = lines[i], .pin = pin_at(0, PIN_MORE + i)};
    }
    wired_stage_open(&stage);
    wired_stage_sense(&stage, 0);
    for (unsigned i = 0; i < MORE; i++) { /* the third is the busiest */
        chatter(&stage, PIN_MORE + i, EDGE_LIMIT_ALL / MORE + (i == 2 ? 4 : 0), 1);
    }
    for (unsigned i = 0; i < MORE; i++) {
        assert_int_equal(*lines_level(&stage.inputs, lines[i]), i == 2 ? LEVEL_UNKNOWN : LEVEL_OFF);
    }
    assert_int_equal(stage.inputs.seated, LEVEL_OFF);
    wired_stage_end(&stage);
}

/* ---- encoder */

static void open_with_encoder(struct wired_stage *stage) {
    wired_stage_prepare(stage);
    stage->setup.heartbeat.pin.is_used = false;
    stage->setup.inputs = 1; /* seated */
    stage->setup.position = (struct wired_sensor){
        .kind = WIRED_SENSOR_ENCODER, .pin = {pin_at(0, PIN_A), pin_at(0, PIN_B)}, .counts = 100};
    wired_stage_open(stage);
    fake_gpio_set(0, PIN_SEATED, false);
    wired_stage_turn(stage);
    wired_stage_cycle(stage, 0);
    assert_true(stage->inputs.position_frac == 0);
}

static void s5_encoder_in_a_storm_reads_nothing_until_quiet_and_anchored(void **state) {
    (void)state;
    struct wired_stage stage;
    open_with_encoder(&stage);
    chatter(&stage, PIN_A, EDGE_LIMIT_ENCODER, 1);
    assert_true(stage.inputs.position_frac == 0);
    chatter(&stage, PIN_A, 1, 1);
    assert_true(isnan(stage.inputs.position_frac)); /* though it is on its seat */
    assert_int_equal(wakes(&stage, PIN_A, 7), 0);
    assert_int_equal(wakes(&stage, PIN_B, 7), 0);
    assert_true(wired_ops.wake_us(stage.port) <= SECOND_US);
    wired_stage_sense(&stage, SECOND_US + 1); /* throws away what waits */
    assert_true(isnan(stage.inputs.position_frac));
    fake_gpio_set(0, PIN_SEATED, true);
    wired_stage_turn(&stage);
    wired_stage_sense(&stage, 2 * SECOND_US + 1);
    assert_true(isnan(stage.inputs.position_frac)); /* quiet, and nobody knows where it is */
    fake_gpio_set(0, PIN_SEATED, false);
    wired_stage_turn(&stage);
    wired_stage_sense(&stage, 2 * SECOND_US + 2); /* the edge before is glimpsed */
    wired_stage_sense(&stage, 2 * SECOND_US + 2);
    assert_true(stage.inputs.position_frac == 0);
    fake_gpio_set(0, PIN_SEATED, true);
    /* Its level changed during the storm: the first edge counts, and is not one that was missed. */
    fake_gpio_set(0, PIN_A, !fake_gpio_level(0, PIN_A));
    wired_stage_turn(&stage);
    wired_stage_sense(&stage, 2 * SECOND_US + 3);
    assert_true(fabs(stage.inputs.position_frac) == 0.01);
    wired_stage_end(&stage);
}

static void encoder_whose_edges_cannot_be_taken_does_not_keep_the_loop_busy(void **state) {
    (void)state;
    struct wired_stage stage;
    open_with_encoder(&stage);
    fake_gpio.cannot_take_edges[0] = true;
    assert_int_equal(wakes(&stage, PIN_A, 1), 1);
    wired_stage_sense(&stage, 1);
    assert_true(isnan(stage.inputs.position_frac));
    assert_int_equal(wakes(&stage, PIN_A, 5), 0);
    wired_stage_sense(&stage, SECOND_US + 1); /* tries in vain */
    fake_gpio.cannot_take_edges[0] = false;
    wired_stage_sense(&stage, 2 * SECOND_US + 1); /* takes what waits */
    assert_true(isnan(stage.inputs.position_frac));
    wired_stage_sense(&stage, 3 * SECOND_US + 1);
    wired_stage_sense(&stage, 3 * SECOND_US + 1);
    assert_true(stage.inputs.position_frac == 0);
    assert_int_equal(wakes(&stage, PIN_A, 1), 1);
    wired_stage_end(&stage);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(s5_line_in_a_storm_reads_nothing_until_it_is_quiet),
        cmocka_unit_test(storm_of_a_second_contact_makes_the_pair_unknown),
        cmocka_unit_test(chatter_that_the_loop_can_bear_goes_on_being_read),
        cmocka_unit_test(of_all_lines_together_the_busiest_gives_way),
        cmocka_unit_test(s5_encoder_in_a_storm_reads_nothing_until_quiet_and_anchored),
        cmocka_unit_test(encoder_whose_edges_cannot_be_taken_does_not_keep_the_loop_busy),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
