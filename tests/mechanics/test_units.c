/* The units in which sheets give what mechanics needs, as the configuration reads them. */
#include "config/reader/quantity.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/mechanics/examples.h"

#include <math.h>

static double read_quantity(const char *text, enum quantity quantity) {
    double value = NAN;
    struct error error;
    if (!quantity_read(text, quantity, &value, &error)) {
        fail_msg("%s: %s", text, error.what);
    }
    return value;
}

static void units(struct example *example) {
    assert_true(example_in(example, "g") == NUMBER_GRAVITY_M_S2);
    assert_true(example_in(example, "inch") == read_quantity("1 in", QUANTITY_LENGTH));
    assert_true(example_in(example, "lb") == read_quantity("1 lb", QUANTITY_MASS));
    example_out(example, "ozin_to_Nm", read_quantity("1 oz-in", QUANTITY_TORQUE));
    example_out(example, "gcm_to_Nm", read_quantity("1 g cm", QUANTITY_TORQUE));
    example_out(example, "inlb_to_Nm", read_quantity("1 in-lb", QUANTITY_TORQUE));
    example_out(example, "lbf_to_N", read_quantity("1 lbf", QUANTITY_FORCE));
    example_out(example, "mph_to_mps", read_quantity("1 mph", QUANTITY_SPEED));
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"U1", units}};
    examples_run("units", tests, 1);
}

/* Pairs printed on motor sheets. */
static void published_pairs_agree(void **state) {
    (void)state;
    static const struct {
        const char *text;
        double n_m, rounding;
    } pairs[] = {
        {"39.48 oz-in", 0.2788, 5e-5}, /* S11 */
        {"2.467 in-lb", 0.2788, 7e-5}, /* S13; 2.467 is rounded itself: 0.27873 */
        {"4.409 in-lb", 0.4982, 5e-5}, /* S13 */
        {"115 g cm", 0.0113, 5e-5},    /* S12 */
    };
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        double found = read_quantity(pairs[i].text, QUANTITY_TORQUE);
        assert_true(fabs(found - pairs[i].n_m) <= pairs[i].rounding);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(published_pairs_agree),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
