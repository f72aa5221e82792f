/* A stand of fakes before the core and an ideal world, which is judged by S1 to S4 and S9 in every
 * step: openings by lever and by throttle, and with everything that can be wrong with a stand. */
#include "support/check.h"
#include "support/stand/stand_stage.h"

#include <event2/event.h>
#include <linux/input-event-codes.h>
#include <string.h>

static struct stand_stage stage;

static int prepare(void **state) {
    (void)state;
    stand_stage_prepare(&stage);
    return 0;
}

static int start(void **state) {
    prepare(state);
    stand_stage_open(&stage);
    assert_non_null(stage.stand);
    return 0;
}

static int end(void **state) {
    (void)state;
    stand_stage_end(&stage);
    return 0;
}

static void tap(enum stand_stage_control control) {
    stand_stage_put(&stage, control, true);
    stand_stage_put(&stage, control, false);
}

static enum bridge_phase phase(void) {
    return stage.puppet.state.phase;
}

static void raise_to(enum bridge_phase wanted) {
    tap(STAGE_RAISE);
    stand_stage_run_to(&stage, wanted);
}

/* ---- whole openings */

static void a_whole_opening_by_lever(void **state) {
    (void)state;
    raise_to(PHASE_OPEN);
    assert_int_equal(stage.asks, 1);
    tap(STAGE_LOWER);
    stand_stage_run_to(&stage, PHASE_LINED);
    assert_int_equal(stage.asks, 2);
    assert_int_equal(stage.puppet.state.openings, 1);
    assert_int_equal(stage.refusals, 0);
}

static void a_whole_opening_by_the_box_and_its_stop(void **state) {
    (void)state;
    stand_stage_key(&stage, KEY_R, true);
    stand_stage_key(&stage, KEY_R, false);
    stand_stage_run_to(&stage, PHASE_RAISING);
    stand_stage_key(&stage, KEY_S, true);
    assert_int_equal(phase(), PHASE_HELD);
    stand_stage_key(&stage, KEY_S, false);
    stand_stage_key(&stage, KEY_R, true);
    stand_stage_run_to(&stage, PHASE_OPEN);
}

/* Two events that wait together, when the loop was busy. */
static void a_key_that_is_up_again_before_anybody_looked_was_pressed(void **state) {
    (void)state;
    fake_evdev_key(0, KEY_R, 1);
    fake_evdev_key(0, KEY_R, 0);
    stand_stage_run(&stage, 10000);
    assert_int_equal(stage.asks, 1);
    assert_int_equal(stage.asked.kind, REQUEST_RAISE);
}

static void a_key_that_repeats_asks_once(void **state) {
    (void)state;
    stand_stage_key(&stage, KEY_R, true);
    for (unsigned i = 0; i < 100; i++) {
        fake_evdev_key(0, KEY_R, 2);
        stand_stage_run(&stage, 10000);
    }
    assert_int_equal(stage.asks, 1);
}

static void the_horn_sounds_while_its_key_is_down(void **state) {
    (void)state;
    stand_stage_key(&stage, KEY_H, true);
    stand_stage_run(&stage, 20000);
    assert_true(stage.puppet.outputs.horn);
    stand_stage_key(&stage, KEY_H, false);
    stand_stage_run(&stage, 20000);
    assert_false(stage.puppet.outputs.horn);
}

/* ---- what can be wrong, while the span moves */

static void stop_acts_in_the_same_turn_without_waiting_to_settle(void **state) {
    (void)state;
    raise_to(PHASE_RAISING);
    uint64_t before_us = stage.puppet.now_us;
    unsigned turns = stage.turns;
    fake_gpio_set(0, STAGE_STOP, false);
    event_base_loop(stage.base, EVLOOP_NONBLOCK);
    assert_int_equal(phase(), PHASE_HELD);
    assert_true(stage.puppet.now_us == before_us && stage.turns > turns);
}

static void a_stuck_lever_asks_once_and_is_told(void **state) {
    (void)state;
    stand_stage_put(&stage, STAGE_RAISE, true);
    stand_stage_run_to(&stage, PHASE_RAISING);
    tap(STAGE_STOP);
    unsigned asks = stage.asks;
    stand_stage_run(&stage, 60000000);
    assert_int_equal(stage.asks, asks);
    assert_int_equal(phase(), PHASE_HELD);
    stand_stage_put(&stage, STAGE_RAISE, false);
    raise_to(PHASE_OPEN); /* once it is free it works again */
}

/* One contact says pressed, the other not: a broken wire, or a weld. */
static void a_lever_whose_contacts_disagree_is_not_pressed(void **state) {
    (void)state;
    fake_gpio_set(0, 8, true); /* the wire of the closed contact breaks */
    stand_stage_run(&stage, 1000000);
    assert_int_equal(stage.asks, 0);
    stand_stage_put(&stage, STAGE_RAISE, true);
    stand_stage_put(&stage, STAGE_RAISE, false);
    assert_int_equal(phase(), PHASE_LINED); /* lost: not believed before it was seen released */
    tap(STAGE_RAISE);
    stand_stage_run_to(&stage, PHASE_RAISING);
}

static void a_broken_wire_of_the_mushroom_is_an_emergency_stop(void **state) {
    (void)state;
    raise_to(PHASE_RAISING);
    stand_stage_put(&stage, STAGE_MUSHROOM, true); /* a wire that breaks looks the same */
    assert_int_equal(phase(), PHASE_FAULT);
    assert_int_equal(stage.puppet.state.fault, FAULT_EMERGENCY_STOP);
    const struct bridge_request raise = {.kind = REQUEST_RAISE}, stop = {.kind = REQUEST_STOP};
    assert_non_null(stand_refuses(stage.stand, &raise));
    assert_null(stand_refuses(stage.stand, &stop));
    stand_stage_put(&stage, STAGE_MUSHROOM, false);
    assert_null(stand_refuses(stage.stand, &raise));
    assert_int_equal(phase(), PHASE_FAULT); /* its release starts nothing */
}

static void a_dead_chip_is_released_buttons_and_an_emergency_stop(void **state) {
    (void)state;
    raise_to(PHASE_RAISING);
    fake_gpio.cannot_read[0] = true;
    stand_stage_run(&stage, 20000);
    assert_int_equal(stage.puppet.state.fault, FAULT_EMERGENCY_STOP);
}

static void a_box_unplugged_while_the_span_moves_is_released_and_comes_back(void **state) {
    (void)state;
    stand_stage_key(&stage, KEY_R, true);
    stand_stage_run_to(&stage, PHASE_RAISING);
    fake_evdev_unplug(0);
    stand_stage_run(&stage, 1000000);
    assert_int_equal(phase(), PHASE_RAISING); /* a request that was granted goes on */
    unsigned opens = fake_evdev.opens;
    stand_stage_run(&stage, 10000000);
    assert_int_equal(fake_evdev.opens, opens); /* nobody looks again and again */
    stand_stage_put(&stage, STAGE_STOP, true);
    assert_int_equal(phase(), PHASE_HELD);
    fake_evdev_plug(0);
    stand_stage_run(&stage, 1000000);
    assert_true(fake_evdev.device[0].is_open);
    assert_int_equal(phase(), PHASE_HELD); /* the key is still down: not a press */
    stand_stage_key(&stage, KEY_R, false);
    stand_stage_key(&stage, KEY_R, true);
    stand_stage_run_to(&stage, PHASE_OPEN);
}

static void a_box_that_is_back_before_it_is_waited_for_is_not_missed(void **state) {
    (void)state;
    fake_evdev.is_back_before_watched = true;
    fake_evdev_unplug(0);
    stand_stage_run(&stage, 10000);
    assert_true(fake_evdev.device[0].is_open);
}

static void a_box_that_cannot_be_waited_for_is_tried_now_and_then(void **state) {
    (void)state;
    fake_evdev.cannot_watch = true;
    fake_evdev_unplug(0);
    stand_stage_run(&stage, 10000);
    assert_int_equal(stand_stage_timers(&stage), 1);
    fake_evdev_plug(0);
    while (!fake_evdev.device[0].is_open) {
        event_base_loop(stage.base, EVLOOP_ONCE);
    }
}

static void a_box_that_is_not_there_at_the_start_is_waited_for(void **state) {
    (void)state;
    fake_evdev_unplug(0);
    stand_stage_open(&stage);
    assert_non_null(stage.stand);
    assert_false(fake_evdev.device[0].is_open);
    fake_evdev_plug(0);
    stand_stage_run(&stage, 100000);
    stand_stage_key(&stage, KEY_R, true);
    assert_int_equal(stage.asked.kind, REQUEST_RAISE);
}

static void what_is_pressed_at_the_start_asks_nothing(void **state) {
    (void)state;
    fake_gpio_set(0, STAGE_LOWER, false);
    fake_evdev_key(0, KEY_R, 1);
    stand_stage_open(&stage);
    stand_stage_run(&stage, 2000000);
    assert_int_equal(stage.asks, 0);
}

/* ---- who may */

static void without_the_key_nothing_is_asked_but_stops(void **state) {
    (void)state;
    raise_to(PHASE_RAISING);
    stand_stage_put(&stage, STAGE_KEY, false);
    assert_int_equal(phase(), PHASE_RAISING);
    unsigned asks = stage.asks;
    tap(STAGE_LOWER);
    assert_int_equal(stage.asks, asks);
    assert_int_equal(stage.refusals, 1);
    assert_non_null(strstr(stage.why, "key switch"));
    tap(STAGE_STOP);
    assert_int_equal(phase(), PHASE_HELD);
}

static void local_is_told_to_those_it_keeps_away_and_passes_locks(void **state) {
    (void)state;
    const struct bridge_request raise = {.kind = REQUEST_RAISE};
    stage.barred_by = 7;
    tap(STAGE_RAISE);
    assert_int_equal(stage.asks, 0);
    assert_string_equal(stage.why, "session 7 has locked it; only a stop acts");
    assert_null(stand_refuses(stage.stand, &raise));
    stand_stage_put(&stage, STAGE_LOCAL, true);
    assert_int_equal(stage.bars, 1);
    assert_non_null(strstr(stand_refuses(stage.stand, &raise), "local"));
    raise_to(PHASE_RAISING);
    stand_stage_put(&stage, STAGE_LOCAL, false);
    assert_int_equal(stage.bars, 2);
    tap(STAGE_STOP); /* whoever holds the lock (S9) */
    assert_int_equal(phase(), PHASE_HELD);
}

static void a_refusal_of_the_bridge_is_told(void **state) {
    (void)state;
    stand_stage_put(&stage, STAGE_MUSHROOM, true);
    stand_stage_put(&stage, STAGE_MUSHROOM, false);
    tap(STAGE_RAISE);
    assert_int_equal(stage.refusals, 1);
    assert_non_null(strstr(stage.why, "a fault is latched"));
}

/* ---- lamps */

/* Whether both that tell this show it: the one at a line, the one in the row. */
static bool is_lit(unsigned lamp) {
    bool at_line = fake_gpio_level(1, lamp);
    assert_int_equal(at_line, (fake_spi.bytes[0] >> lamp & 1) != 0);
    return at_line;
}

static void lamps_at_lines_and_in_a_row_tell_the_same(void **state) {
    (void)state;
    assert_true(is_lit(STAND_LAMP_LINED) && !is_lit(STAND_LAMP_OPEN));
    assert_true(!is_lit(STAND_LAMP_MOVING) && !is_lit(STAND_LAMP_FAULT));
    raise_to(PHASE_RAISING);
    stand_stage_run(&stage, 1000000);
    assert_true(!is_lit(STAND_LAMP_LINED) && is_lit(STAND_LAMP_MOVING));
    stand_stage_run_to(&stage, PHASE_OPEN);
    stand_stage_run(&stage, 2000000);
    assert_true(is_lit(STAND_LAMP_OPEN) && !is_lit(STAND_LAMP_MOVING));
}

static void the_lamp_test_lights_all_while_it_is_pressed(void **state) {
    (void)state;
    stand_stage_put(&stage, STAGE_TEST, true);
    for (unsigned i = 0; i < STAGE_LAMPS; i++) {
        assert_true(is_lit(i));
    }
    stand_stage_put(&stage, STAGE_TEST, false);
    assert_true(is_lit(STAND_LAMP_LINED) && !is_lit(STAND_LAMP_FAULT));
    assert_int_equal(stage.asks, 0);
}

static void at_the_end_all_lamps_are_dark(void **state) {
    (void)state;
    stand_free(stage.stand);
    stage.stand = NULL;
    assert_int_equal(fake_spi.bytes[0], 0);
    for (unsigned i = 0; i < STAGE_LAMPS; i++) {
        assert_false(fake_gpio_level(1, i));
    }
}

static void a_lamp_that_cannot_be_written_is_lit_once_it_can(void **state) {
    (void)state;
    fake_gpio.cannot_write[1] = fake_spi.cannot_write = true;
    tap(STAGE_MUSHROOM);
    assert_int_equal(phase(), PHASE_FAULT); /* the bridge does not care */
    fake_gpio.cannot_write[1] = fake_spi.cannot_write = false;
    stand_stage_put(&stage, STAGE_TEST, true);
    assert_true(is_lit(STAND_LAMP_FAULT) && is_lit(STAND_LAMP_OPEN));
}

static void nothing_wakes_an_idle_stand_whose_lamps_do_not_flash(void **state) {
    (void)state;
    assert_int_equal(stand_stage_timers(&stage), 0);
    tap(STAGE_RAISE);
    stand_stage_run(&stage, 1000000); /* "open" flashes: it is on its way */
    assert_int_equal(stand_stage_timers(&stage), 1);
    stand_stage_run_to(&stage, PHASE_OPEN);
    stand_stage_run(&stage, 2000000);
    assert_int_equal(stand_stage_timers(&stage), 0);
}

/* By the stand's own timers: no limit of time is asserted. */
static void a_flash_goes_on_by_itself_in_real_time(void **state) {
    (void)state;
    stage.has_real_time = true;
    stand_stage_open(&stage);
    stand_look(stage.stand);
    puppet_ask(&stage.puppet, REQUEST_EMERGENCY_STOP, 0);
    struct bridge_view view = {stage.puppet.inputs, stage.puppet.state, stage.puppet.outputs};
    stand_notify(stage.stand, &view);
    bool was_lit = false;
    for (unsigned changes = 0; changes < 4;) {
        event_base_loop(stage.base, EVLOOP_ONCE);
        bool now_lit = fake_gpio_level(1, STAND_LAMP_FAULT);
        changes += now_lit != was_lit;
        was_lit = now_lit;
    }
}

static void a_press_is_believed_by_the_stands_own_timer(void **state) {
    (void)state;
    stage.has_real_time = true;
    stand_stage_open(&stage);
    stand_look(stage.stand);
    while (stand_stage_timers(&stage) > 0) { /* until all are known to be released */
        event_base_loop(stage.base, EVLOOP_ONCE);
    }
    fake_gpio_set(0, STAGE_LOWER, false);
    while (stage.asks == 0) {
        event_base_loop(stage.base, EVLOOP_ONCE);
    }
    assert_int_equal(stage.asked.kind, REQUEST_LOWER);
}

static void a_line_or_a_row_that_is_not_there_is_told(void **state) {
    (void)state;
    fake_spi.is_there = false;
    stand_stage_open(&stage);
    assert_null(stage.stand);
    assert_string_equal(stage.error.where, "spi0");
    assert_int_equal(fake_gpio.open, 0);
}

#define ON_STAGE(test) cmocka_unit_test_setup_teardown(test, start, end)
#define PREPARED(test) cmocka_unit_test_setup_teardown(test, prepare, end)

int main(void) {
    const struct CMUnitTest tests[] = {
        ON_STAGE(a_whole_opening_by_lever),
        ON_STAGE(a_whole_opening_by_the_box_and_its_stop),
        ON_STAGE(a_key_that_is_up_again_before_anybody_looked_was_pressed),
        ON_STAGE(a_key_that_repeats_asks_once),
        ON_STAGE(the_horn_sounds_while_its_key_is_down),
        ON_STAGE(stop_acts_in_the_same_turn_without_waiting_to_settle),
        ON_STAGE(a_stuck_lever_asks_once_and_is_told),
        ON_STAGE(a_lever_whose_contacts_disagree_is_not_pressed),
        ON_STAGE(a_broken_wire_of_the_mushroom_is_an_emergency_stop),
        ON_STAGE(a_dead_chip_is_released_buttons_and_an_emergency_stop),
        ON_STAGE(a_box_unplugged_while_the_span_moves_is_released_and_comes_back),
        ON_STAGE(a_box_that_is_back_before_it_is_waited_for_is_not_missed),
        ON_STAGE(a_box_that_cannot_be_waited_for_is_tried_now_and_then),
        PREPARED(a_box_that_is_not_there_at_the_start_is_waited_for),
        PREPARED(what_is_pressed_at_the_start_asks_nothing),
        ON_STAGE(without_the_key_nothing_is_asked_but_stops),
        ON_STAGE(local_is_told_to_those_it_keeps_away_and_passes_locks),
        ON_STAGE(a_refusal_of_the_bridge_is_told),
        ON_STAGE(lamps_at_lines_and_in_a_row_tell_the_same),
        ON_STAGE(the_lamp_test_lights_all_while_it_is_pressed),
        ON_STAGE(at_the_end_all_lamps_are_dark),
        ON_STAGE(a_lamp_that_cannot_be_written_is_lit_once_it_can),
        ON_STAGE(nothing_wakes_an_idle_stand_whose_lamps_do_not_flash),
        PREPARED(a_flash_goes_on_by_itself_in_real_time),
        PREPARED(a_press_is_believed_by_the_stands_own_timer),
        PREPARED(a_line_or_a_row_that_is_not_there_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
