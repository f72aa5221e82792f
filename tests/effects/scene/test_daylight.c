/* Night and day by the layout's clock. */
#include "effects/scene/daylight.h"
#include "support/check.h"

enum { HOUR = 60 };

static void day_and_night_part_at_dawn_and_dusk(void **state) {
    (void)state;
    static const struct scene_setup setup = {
        .dawn = 6 * HOUR, .dusk = 18 * HOUR + 30, .twilight = 60};
    static const struct {
        unsigned minute;
        double night;
    } cases[] = {{0, 1},           {6 * HOUR, 1},       {6 * HOUR + 15, 0.75},
                 {7 * HOUR, 0},    {12 * HOUR, 0},      {18 * HOUR + 30, 0},
                 {19 * HOUR, 0.5}, {19 * HOUR + 30, 1}, {23 * HOUR + 59, 1}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_float_equal(daylight_night(&setup, cases[i].minute), cases[i].night, 1e-9);
    }
}

/* Midnight sun, nearly: the day goes past midnight. */
static void day_may_go_past_midnight(void **state) {
    (void)state;
    static const struct scene_setup setup = {.dawn = 2 * HOUR, .dusk = 30, .twilight = 0};
    assert_float_equal(daylight_night(&setup, 23 * HOUR), 0, 0);
    assert_float_equal(daylight_night(&setup, 29), 0, 0);
    assert_float_equal(daylight_night(&setup, 30), 1, 0);
    assert_float_equal(daylight_night(&setup, 2 * HOUR), 0, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(day_and_night_part_at_dawn_and_dusk),
        cmocka_unit_test(day_may_go_past_midnight),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
