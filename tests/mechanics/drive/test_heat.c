#include "mechanics/drive/heat.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

static struct heat heat_in(struct example *example) {
    return (struct heat){.to_case_k_w = example_in(example, "to_case"),
                         .to_air_k_w = example_in(example, "to_air"),
                         .winding_s = example_in(example, "tau_winding"),
                         .case_s = example_in(example, "tau_case"),
                         .air_c = example_in(example, "air"),
                         .limit_c = 105};
}

static void steady_losses(struct example *example) {
    const struct heat heat = heat_in(example);
    const struct heat_loss loss = {example_in(example, "copper"), example_in(example, "other")};
    double time_s[8], winding_c[8], case_c[8];
    size_t count = example_in_list(example, "t", time_s, 8);
    struct heat_state state = heat_cold(&heat);
    for (size_t i = 0; i < count; i++) {
        heat_run(&heat, &loss, time_s[i] - (i > 0 ? time_s[i - 1] : 0), &state);
        winding_c[i] = state.winding_c;
        case_c[i] = state.case_c;
    }
    example_out_list(example, "winding", winding_c, count);
    example_out_list(example, "case", case_c, count);
}

static void stalls(struct example *example) {
    struct heat heat = heat_in(example);
    double supply_a[4], lasted_s[4];
    size_t count = example_in_list(example, "supply", supply_a, 4);
    const struct heat_state warm = {example_in(example, "winding"), example_in(example, "case")};
    struct heat_stall stall = {.voltage_v = example_in(example, "V"),
                               .resistance_ohm = example_in(example, "R")};
    heat.limit_c = example_in(example, "limit");
    for (size_t i = 0; i < count; i++) {
        stall.supply_a = supply_a[i];
        lasted_s[i] = heat_stall_s(&heat, &stall, warm);
    }
    example_out_list(example, "time", lasted_s, count);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"H1", steady_losses}, {"H2", stalls}};
    examples_run("heat", tests, 2);
}

static const struct heat usual = {4, 8, 30, 900, 30, 105};

static void copper_is_as_much_warmer_as_its_standard_says(void **state) {
    (void)state;
    assert_true(heat_copper(20) == 1); /* IEC 60028: 0.00393 at 20 degrees (from memory) */
    assert_true(fabs(heat_copper(120) - 1.393) < 1e-12);
}

static void a_motor_that_rests_cools_to_the_air(void **state) {
    (void)state;
    struct heat_state at = {100, 80};
    const struct heat_loss nothing = {0, 0};
    heat_run(&usual, &nothing, 1e4, &at);
    assert_true(at.winding_c > 30 && at.winding_c < 30.01);
}

static void a_small_supply_never_burns_the_winding(void **state) {
    (void)state;
    const struct heat_stall stall = {12, 2, 0.286};
    assert_true(isinf(heat_stall_s(&usual, &stall, heat_cold(&usual))));
}

static void a_winding_beyond_its_limit_has_no_time_left(void **state) {
    (void)state;
    const struct heat_stall stall = {12, 2, 0.286};
    assert_true(heat_stall_s(&usual, &stall, (struct heat_state){106, 60}) == 0);
}

static void bad_values_are_refused(void **state) {
    (void)state;
    struct heat heat = usual;
    assert_null(heat_check(&heat));
    heat.to_air_k_w = 0;
    bad_numbers_said(heat_check(&heat), "resistances");
    heat = usual;
    heat.case_s = NAN;
    bad_numbers_said(heat_check(&heat), "time constants");
    heat = usual;
    heat.limit_c = 30;
    bad_numbers_said(heat_check(&heat), "limit");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(copper_is_as_much_warmer_as_its_standard_says),
        cmocka_unit_test(a_motor_that_rests_cools_to_the_air),
        cmocka_unit_test(a_small_supply_never_burns_the_winding),
        cmocka_unit_test(a_winding_beyond_its_limit_has_no_time_left),
        cmocka_unit_test(bad_values_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
