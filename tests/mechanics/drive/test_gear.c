#include "mechanics/drive/gear.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

static void pitch_diameters(struct example *example) {
    double teeth[8], pitch[8], diameter[8], rack[8], module[8];
    size_t count = example_in_list(example, "N", teeth, 8);
    assert_int_equal(example_in_list(example, "DP", pitch, 8), count);
    for (size_t i = 0; i < count; i++) {
        module[i] = gear_module_m(pitch[i] * 0.0254);
        diameter[i] = 2 * gear_pitch_radius_m(teeth[i], module[i]);
        rack[i] = gear_rack_per_turn_m(teeth[i], module[i]);
        assert_null(gear_check(teeth[i], module[i]));
    }
    example_out_list(example, "d_in", diameter, count);
    example_out_list(example, "d_mm", diameter, count);
    example_out_list(example, "rack_per_turn_in", rack, count);
    example_out_list(example, "rack_per_turn_mm", rack, count);
    example_out_list(example, "module_mm", module, count);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"D1", pitch_diameters}};
    examples_run("gear", tests, 1);
}

static void published_gear_holds(void **state) {
    (void)state;
    double module = gear_module_m(10); /* S6: 40 teeth of 10 DP: d = 4 in, pi/10 = 0.3142 in */
    assert_true(fabs(2 * gear_pitch_radius_m(40, module) / 0.0254 - 4) < 1e-12);
    assert_true(fabs(gear_rack_per_turn_m(1, module) / 0.0254 - 0.3142) < 5e-5);
}

static void planetary_ratio_counts_the_carriers_own_turn(void **state) {
    (void)state;
    assert_true(gear_planetary_ratio(12, 36) == 4); /* 1 + 36/12, from memory */
}

static void bad_gears_are_refused(void **state) {
    (void)state;
    bad_numbers_said(gear_check(0, 0.001), "teeth");
    bad_numbers_said(gear_check(-12, 0.001), "teeth");
    bad_numbers_said(gear_check(12.5, 0.001), "teeth");
    bad_numbers_said(gear_check(NAN, 0.001), "teeth");
    bad_numbers_said(gear_check(INFINITY, 0.001), "teeth");
    bad_numbers_said(gear_check(12, 0), "module");
    bad_numbers_said(gear_check(12, NAN), "module");
    bad_numbers_said(gear_check(12, -1), "module");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(published_gear_holds),
        cmocka_unit_test(planetary_ratio_counts_the_carriers_own_turn),
        cmocka_unit_test(bad_gears_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
