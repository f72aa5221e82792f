/* How bright an output is, and when it must be looked at again. */
#include "effects/scene/glow.h"
#include "support/check.h"

static struct scene_output setup;
static struct glow glow;

static int begin(void **state) {
    (void)state;
    setup = (struct scene_output){.level = 1};
    glow = (struct glow){0};
    return 0;
}

static double at(uint64_t ms, bool is_wanted) {
    return glow_step(&setup, &glow, is_wanted, ms * 1000);
}

static uint64_t due_ms(uint64_t now_ms) {
    uint64_t due_us = glow_due_us(&setup, &glow, now_ms * 1000);
    return due_us == GLOW_NEVER ? GLOW_NEVER : due_us / 1000;
}

static void without_more_it_follows_at_once(void **state) {
    (void)state;
    setup.level = 0.6;
    assert_float_equal(at(0, false), 0, 0);
    assert_float_equal(at(1, true), 0.6, 1e-9);
    assert_true(due_ms(1) == GLOW_NEVER);
    assert_float_equal(at(2, false), 0, 0);
    assert_true(due_ms(2) == GLOW_NEVER);
}

static void delay_must_be_held_out(void **state) {
    (void)state;
    setup.delay_us = 2000000;
    setup.linger_us = 500000;
    assert_float_equal(at(1000, true), 0, 0);
    assert_int_equal(due_ms(1000), 3000);
    assert_float_equal(at(2000, false), 0, 0); /* it gave way */
    assert_true(due_ms(2000) == GLOW_NEVER);
    at(3000, true);
    assert_float_equal(at(4999, true), 0, 0);
    assert_float_equal(at(5000, true), 1, 0);
    assert_float_equal(at(6000, false), 1, 0);
    assert_int_equal(due_ms(6000), 6500);
    assert_float_equal(at(6500, false), 0, 0);
}

static void fade_takes_its_time_both_ways(void **state) {
    (void)state;
    setup.fade_us = 1000000;
    at(1000, true);
    assert_int_equal(due_ms(1000), 1020);
    assert_float_equal(at(1250, true), 0.25, 1e-9);
    assert_float_equal(at(1500, false), 0.5, 1e-9); /* turns back half way */
    assert_float_equal(at(1750, false), 0.25, 1e-9);
    assert_float_equal(at(2000, false), 0, 1e-9);
    assert_true(due_ms(2000) == GLOW_NEVER);
}

/* A look that comes late finds it as bright as one in time would have left it. */
static void late_look_makes_no_difference(void **state) {
    (void)state;
    setup.delay_us = 1000000;
    setup.fade_us = 1000000;
    at(0, true);
    assert_float_equal(at(1750, true), 0.75, 1e-9);
}

static void flashing_begins_lit(void **state) {
    (void)state;
    static const double wanted[] = {1, 0, 1, 0};
    setup.flash_us = 1000000;
    at(1000, true);
    for (unsigned i = 0; i < 4; i++) {
        assert_float_equal(at(1001 + 500 * i, true), wanted[i], 0);
        assert_int_equal(due_ms(1001 + 500 * i), 1500 + 500 * i);
    }
    assert_float_equal(at(4000, false), 0, 0);
    assert_true(due_ms(4000) == GLOW_NEVER);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(without_more_it_follows_at_once, begin),
        cmocka_unit_test_setup(delay_must_be_held_out, begin),
        cmocka_unit_test_setup(fade_takes_its_time_both_ways, begin),
        cmocka_unit_test_setup(late_look_makes_no_difference, begin),
        cmocka_unit_test_setup(flashing_begins_lit, begin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
