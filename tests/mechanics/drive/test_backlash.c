#include "mechanics/drive/backlash.h"
#include "mechanics/lift/lift.h"
#include "support/check.h"
#include "support/mechanics/examples.h"

#include <math.h>

static void toe(struct example *example) {
    const struct drive drive = {.pinion_radius_m = example_in(example, "r"),
                                .planetary_ratio = 16,
                                .planetary_efficiency = 0.8,
                                .has_worm = true,
                                .worm = {example_in(example, "worm"), 0.03, 0.35, 0.05, 0.09},
                                .rack_efficiency = 0.95};
    const struct backlash backlash = {example_in(example, "gearbox"), example_in(example, "wheel"),
                                      example_in(example, "rack")};
    double pin[2], pinion[2], rack_m = backlash_at_rack_m(&drive, &backlash);
    assert_int_equal(example_in_list(example, "pin", pin, 2), 2);
    assert_int_equal(example_in_list(example, "pinion", pinion, 2), 2);
    const struct lift lift = {.kind = LIFT_STRUT,
                              .travel = 1,
                              .strut = {.pin = {pin[0], pin[1]}, .pinion = {pinion[0], pinion[1]}}};
    example_out(example, "at_rack", rack_m);
    example_out(example, "at_toe", rack_m / lift_rack_arm(&lift, 0) * example_in(example, "toe"));
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"K1", toe}};
    examples_run("backlash", tests, 1);
}

/* Without a worm the gearbox's slow shaft is the pinion's. */
static void without_a_worm_the_gearbox_turns_the_pinion(void **state) {
    (void)state;
    const struct drive drive = {.pinion_radius_m = 0.01};
    const struct backlash backlash = {0.02, 0.5, 0.0001};
    assert_true(fabs(backlash_at_rack_m(&drive, &backlash) - 0.0003) < 1e-15);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(without_a_worm_the_gearbox_turns_the_pinion),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
