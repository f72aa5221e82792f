/* What sounds and scenes follow: only what is believed, put out, or the phase. */
#include "effects/condition.h"
#include "support/check.h"

static bool holds(const struct bridge_view *view, enum condition condition) {
    return (condition_of(view) >> condition & 1) != 0;
}

static void nothing_holds_of_a_bridge_that_is_unproved(void **state) {
    (void)state;
    const struct bridge_view view = {.state = {.phase = PHASE_UNPROVED}};
    assert_int_equal(condition_of(&view), 1U << CONDITION_ALWAYS);
}

/* An input that reads made is not yet a proof: it must hold. */
static void reading_alone_is_not_a_proof(void **state) {
    (void)state;
    struct bridge_view view = {.inputs = {.seated = LEVEL_ON, .locked = LEVEL_ON}};
    assert_false(holds(&view, CONDITION_SEATED));
    assert_false(holds(&view, CONDITION_LOCKED));
    view.state.contacts.seated.believed = LEVEL_ON;
    view.state.contacts.locked.believed = LEVEL_ON;
    assert_true(holds(&view, CONDITION_SEATED));
    assert_true(holds(&view, CONDITION_LOCKED));
}

static void phases_hold_one_at_a_time(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase phase;
        enum condition condition;
    } cases[] = {{PHASE_WARNING, CONDITION_WARNING},   {PHASE_LOCKING, CONDITION_LOCKING},
                 {PHASE_UNLOCKING, CONDITION_LOCKING}, {PHASE_LINED, CONDITION_LINED},
                 {PHASE_OPEN, CONDITION_OPEN},         {PHASE_HELD, CONDITION_HELD},
                 {PHASE_FAULT, CONDITION_FAULT}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const struct bridge_view view = {.state = {.phase = cases[i].phase}};
        assert_int_equal(condition_of(&view), 1U << CONDITION_ALWAYS | 1U << cases[i].condition);
    }
}

static void movement_has_a_direction(void **state) {
    (void)state;
    struct bridge_view view = {.state = {.motion = {.direction = 1}}};
    assert_true(holds(&view, CONDITION_MOVING) && holds(&view, CONDITION_RAISING));
    assert_false(holds(&view, CONDITION_LOWERING));
    view.state.motion.direction = -1;
    assert_true(holds(&view, CONDITION_MOVING) && holds(&view, CONDITION_LOWERING));
    assert_false(holds(&view, CONDITION_RAISING));
}

static void what_is_put_out_holds(void **state) {
    (void)state;
    struct bridge_view view = {.outputs = {.horn = true, .river = RIVER_GREEN}};
    assert_true(holds(&view, CONDITION_HORN) && holds(&view, CONDITION_RIVER_GREEN));
    view.outputs = (struct bridge_outputs){.river = RIVER_RED_FLASHING};
    assert_true(holds(&view, CONDITION_RIVER_FLASHING));
    assert_false(holds(&view, CONDITION_HORN) || holds(&view, CONDITION_RIVER_GREEN));
}

static void train_on_any_dead_section_is_seen(void **state) {
    (void)state;
    struct bridge_view view = {.state = {.phase = PHASE_UNPROVED}};
    view.state.track[BRIDGE_TRACKS_MAX - 1].end[1].is_occupied = true;
    assert_true(holds(&view, CONDITION_TRAIN));
    view.state.track[BRIDGE_TRACKS_MAX - 1].end[1].is_occupied = false;
    view.state.track[0].is_occupied = true;
    assert_true(holds(&view, CONDITION_TRAIN));
}

static void all_of_what_is_wanted_and_none_of_what_is_not(void **state) {
    (void)state;
    const struct condition_wanted wanted = {1U << CONDITION_OPEN | 1U << CONDITION_RIVER_GREEN,
                                            1U << CONDITION_FAULT};
    assert_false(condition_is_met(&wanted, 1U << CONDITION_OPEN));
    assert_true(condition_is_met(&wanted, 1U << CONDITION_OPEN | 1U << CONDITION_RIVER_GREEN));
    assert_false(condition_is_met(&wanted, ~(condition_set)0));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_holds_of_a_bridge_that_is_unproved),
        cmocka_unit_test(reading_alone_is_not_a_proof),
        cmocka_unit_test(phases_hold_one_at_a_time),
        cmocka_unit_test(movement_has_a_direction),
        cmocka_unit_test(what_is_put_out_holds),
        cmocka_unit_test(train_on_any_dead_section_is_seen),
        cmocka_unit_test(all_of_what_is_wanted_and_none_of_what_is_not),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
