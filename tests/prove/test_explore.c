/* S1 to S6, S8 and S9 in every reachable state of small bridges. The larger ones take longer:
 * tools/prove walks them all. */
#include "prove/walks/explorer.h"
#include "support/check.h"

static struct explored walk(const char *name) {
    struct scene scene;
    assert_true(scene_find(name, &scene));
    assert_null(bridge_setup_fault(&scene.setup));
    struct explorer *explorer = explorer_new(&scene);
    explorer_walk(explorer);
    explorer_try_raw(explorer, scene.raw_tries / 20);
    explorer_tell(explorer);
    struct explored result = *explorer_result(explorer);
    explorer_free(explorer);
    return result;
}

static void assert_powered_bridge_holds(const char *name) {
    struct scene scene;
    struct explored result = walk(name);
    assert_true(scene_find(name, &scene));
    assert_null(result.broken);
    /* A search that never came there would prove nothing. */
    assert_int_equal(result.phases, (1u << BRIDGE_PHASES) - 1);
    assert_true(result.has_driven && result.has_powered && result.has_cleared);
    bool has_drive = scene.setup.has_lock_drive;
    assert_true(result.has_withdrawn == has_drive && result.has_locked == has_drive);
}

static void invariants_hold_in_every_state_of_one_track_one_end(void **state) {
    (void)state;
    assert_powered_bridge_holds("one-end");
}

static void invariants_hold_in_every_state_without_position_sensor(void **state) {
    (void)state;
    assert_powered_bridge_holds("no-position");
}

static void invariants_hold_in_every_state_of_one_track_both_ends(void **state) {
    (void)state;
    assert_powered_bridge_holds("both-quick");
}

static void invariants_hold_in_every_state_of_a_hand_lifted_span(void **state) {
    (void)state;
    struct explored result = walk("hand");
    const uint32_t powered_only = 1u << PHASE_SEATING | 1u << PHASE_HELD;
    assert_null(result.broken);
    assert_int_equal(result.phases, ((1u << BRIDGE_PHASES) - 1) & ~powered_only);
    assert_true(result.has_powered && result.has_cleared);
    assert_false(result.has_driven || result.has_withdrawn || result.has_locked);
}

static void invariants_hold_in_every_state_of_bridges_with_few_sensors(void **state) {
    (void)state;
    assert_powered_bridge_holds("contacts-alone");
    assert_powered_bridge_holds("blind-lock");
}

static void invariants_hold_in_every_state_of_a_span_run_by_hand(void **state) {
    (void)state;
    assert_powered_bridge_holds("throttle");
}

static void every_scene_is_a_sound_setup(void **state) {
    (void)state;
    for (size_t i = 0; i < SCENES; i++) {
        struct scene scene = scene_at(i);
        assert_null(bridge_setup_fault(&scene.setup));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_scene_is_a_sound_setup),
        cmocka_unit_test(invariants_hold_in_every_state_of_bridges_with_few_sensors),
        cmocka_unit_test(invariants_hold_in_every_state_of_one_track_one_end),
        cmocka_unit_test(invariants_hold_in_every_state_without_position_sensor),
        cmocka_unit_test(invariants_hold_in_every_state_of_one_track_both_ends),
        cmocka_unit_test(invariants_hold_in_every_state_of_a_hand_lifted_span),
        cmocka_unit_test(invariants_hold_in_every_state_of_a_span_run_by_hand),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
