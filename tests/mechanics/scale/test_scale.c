#include "mechanics/scale/scale.h"
#include "support/check.h"
#include "support/mechanics/examples.h"

#include <math.h>

/* 25 mm of the prototype by 12, a third of it; in HO a third of 0.025 in (NMRA RP-25 code 110, from
 * memory). */
static void rails_may_differ_by_a_third_of_the_flange(void **state) {
    (void)state;
    assert_true(fabs(scale_joint_m(12) - 0.000694444444) < 1e-12);
    assert_true(fabs(scale_joint_m(87.1) - 0.000211666667) < 1e-12);
    assert_true(isnan(scale_joint_m(NAN)));
}

static void froude(struct example *example) {
    double ratio = example_in(example, "ratio");
    double period_s = example_in(example, "period"), speed_m_s = example_in(example, "speed");
    assert_true(example_in(example, "length") > 0); /* of the second way: the law does not ask */
    example_out(example, "model_period", scale_model_s(period_s, ratio));
    example_out(example, "back", scale_prototype_s(scale_model_s(period_s, ratio), ratio));
    example_out(example, "prototype_speed", scale_prototype_m_s(speed_m_s, ratio));
    example_out(example, "prototype_mass", scale_prototype_kg(example_in(example, "mass"), ratio));
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"F1", froude}};
    examples_run("scale", tests, 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(rails_may_differ_by_a_third_of_the_flange),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
