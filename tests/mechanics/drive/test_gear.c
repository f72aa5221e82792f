#include "config/reader/quantity.h"
#include "mechanics/drive/gear.h"
#include "support/check.h"
#include "support/mechanics/examples.h"

#include <math.h>
#include <stdio.h>

/* Of so many teeth to the inch, as the configuration reads it. */
static double module_of(double pitch) {
    char text[40];
    double module = 0;
    snprintf(text, sizeof text, "%.17g DP", pitch);
    assert_true(quantity_read(text, QUANTITY_TOOTH_SIZE, &module, NULL));
    return module;
}

static void pitch_diameters(struct example *example) {
    double teeth[8], pitch[8], diameter[8], module[8];
    size_t count = example_in_list(example, "N", teeth, 8);
    assert_int_equal(example_in_list(example, "DP", pitch, 8), count);
    for (size_t i = 0; i < count; i++) {
        module[i] = module_of(pitch[i] * 0.0254); /* per metre there */
        diameter[i] = 2 * gear_pitch_radius_m(teeth[i], module[i]);
    }
    example_out_list(example, "d_in", diameter, count);
    example_out_list(example, "d_mm", diameter, count);
    example_out_list(example, "module_mm", module, count);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"D1", pitch_diameters}};
    examples_run("gear", tests, 1);
}

static void published_gear_holds(void **state) {
    (void)state; /* S6: 40 teeth of 10 DP: d = 4 in */
    assert_true(fabs(2 * gear_pitch_radius_m(40, module_of(10)) / 0.0254 - 4) < 1e-12);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(published_gear_holds),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
