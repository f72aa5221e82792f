#include "mechanics/drive/lead.h"
#include "support/check.h"

#include <math.h>

/* 1.00 mm2 of copper has 17.24 mohm/m (IEC 60028: 1/58 ohm mm2/m, from memory): 2 x 3 m at 5 A. */
static void loss_is_that_of_standard_copper(void **state) {
    (void)state;
    assert_true(fabs(lead_loss_v(5, 3, 1) - 0.5172413793) < 1e-9);
}

/* Rows of IEC 60127: 1.25 times the current, then the next. */
static void fuse_is_the_next_of_the_row(void **state) {
    (void)state;
    static const struct {
        double current_a, fuse_a;
    } cases[] = {{1.6, 2}, {1.61, 2.5}, {0.05, 0.063}, {0.8, 1}, {7.9, 10}, {8.1, 12.5}, {4, 5}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_true(fabs(lead_fuse_a(cases[i].current_a) - cases[i].fuse_a) < 1e-9);
    }
}

/* AWG 18 is 1624 circular mils, 0.823 mm2 (from memory): 2.32 A at 700 a piece. */
static void wire_carries_its_fuse(void **state) {
    (void)state;
    assert_true(fabs(lead_carrying_mm2(1624 / 700.0) - 0.823) < 5e-4);
    assert_true(lead_wire_mm2(1, 2, 0.5, 12) == 0.75);
}

static void a_long_lead_wants_a_thicker_wire(void **state) {
    (void)state;
    double wire_mm2 = lead_wire_mm2(4, 5, 10, 12);
    assert_true(wire_mm2 == 2.5);
    assert_true(lead_loss_v(4, 10, wire_mm2) <= 0.6 && lead_loss_v(4, 10, 1.5) > 0.6);
    assert_true(isinf(lead_wire_mm2(60, 75, 10, 12)));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(loss_is_that_of_standard_copper),
        cmocka_unit_test(fuse_is_the_next_of_the_row),
        cmocka_unit_test(wire_carries_its_fuse),
        cmocka_unit_test(a_long_lead_wants_a_thicker_wire),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
