#include "mechanics/scale/scale.h"
#include "support/check.h"

#include <math.h>

/* 25 mm of the prototype by 12, a third of it; in HO a third of 0.025 in (NMRA RP-25 code 110, from
 * memory). */
static void rails_may_differ_by_a_third_of_the_flange(void **state) {
    (void)state;
    assert_true(fabs(scale_joint_m(12) - 0.000694444444) < 1e-12);
    assert_true(fabs(scale_joint_m(87.1) - 0.000211666667) < 1e-12);
    assert_true(isnan(scale_joint_m(NAN)));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rails_may_differ_by_a_third_of_the_flange),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
