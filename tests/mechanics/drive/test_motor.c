#include "mechanics/drive/motor.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

static const double rpm = NUMBER_PI / 30;

static bool is_near(double found, double wanted, double part) {
    return fabs(found - wanted) <= part * fabs(wanted);
}

static struct motor motor_on(const struct motor_sheet *sheet) {
    struct motor motor;
    assert_null(motor_from_sheet(sheet, &motor));
    return motor;
}

/* Published figures of the RS-540 sheet (S11) are rounded: 1 % and 3 %. */
static void hold_published(struct example *example, const struct motor *motor,
                           const struct motor_best *best) {
    double naive = best->stall_n_m / best->stall_a;
    assert_true(is_near(naive, example_in(example, "pub_Kt"), 0.01));
    assert_true(is_near(1 / motor->ke_v_s_rad, example_in(example, "pub_Kv"), 0.03));
    assert_true(is_near(best->efficiency, example_in(example, "pub_eta"), 0.01));
    assert_true(is_near(best->speed_rad_s, example_in(example, "pub_n_eff"), 0.01));
    assert_true(is_near(best->current_a, example_in(example, "pub_I_eff"), 0.03));
    example_out(example, "Kt_naive_Ts_over_Is", naive);
}

static void sheet_540(struct example *example) {
    struct motor_sheet sheet = {example_in(example, "V"), example_in(example, "n0"),
                                example_in(example, "I0"), example_in(example, "T_stall"),
                                example_in(example, "I_stall")};
    struct motor motor = motor_on(&sheet), one_constant = motor;
    one_constant.kt_n_m_a = motor.ke_v_s_rad;
    struct motor_best best = motor_best(&motor, sheet.voltage_v);
    example_out(example, "R", motor.resistance_ohm);
    example_out(example, "omega0", best.no_load_rad_s);
    example_out(example, "Ke", motor.ke_v_s_rad);
    example_out(example, "Kt_from_stall_over_stall_minus_I0", motor.kt_n_m_a);
    example_out(example, "T_stall_predicted_with_Kt_eq_Ke",
                motor_best(&one_constant, sheet.voltage_v).stall_n_m);
    example_out(example, "I_eff", best.current_a);
    example_out(example, "n_eff", best.speed_rad_s);
    example_out(example, "eta_max", best.efficiency);
    example_out(example, "P_max_from_sheet", best.greatest_power_w);
    hold_published(example, &motor, &best);
    assert_false(motor_constants_differ(&motor)); /* 2 % apart */
}

static void three_sheets(struct example *example) {
    double v[3], n0[3], i0[3], ts[3], is[3], out[7][3];
    struct motor motor[3];
    example_in_list(example, "V", v, 3);
    example_in_list(example, "n0", n0, 3);
    example_in_list(example, "I0", i0, 3);
    example_in_list(example, "T_stall", ts, 3);
    example_in_list(example, "I_stall", is, 3);
    for (size_t i = 0; i < 3; i++) {
        motor[i] = motor_on(&(struct motor_sheet){v[i], n0[i], i0[i], ts[i], is[i]});
        struct motor_best best = motor_best(&motor[i], v[i]);
        double row[] = {motor[i].resistance_ohm, motor[i].ke_v_s_rad, motor[i].kt_n_m_a,
                        best.current_a,          best.speed_rad_s,    best.efficiency,
                        best.greatest_power_w};
        for (size_t k = 0; k < 7; k++) {
            out[k][i] = row[k];
        }
        assert_true(motor_constants_differ(&motor[i])); /* 18, 30 and 24 % apart */
    }
    static const char *const names[] = {"R",     "Ke",      "Kt_stall", "I_eff",
                                        "n_eff", "eta_max", "P_max"};
    for (size_t k = 0; k < 7; k++) {
        example_out_list(example, names[k], out[k], 3);
    }
    double torque = 0.00179; /* S12, published at best efficiency: 4630 rpm, 0.13 A */
    example_out(example, "RF500_n_at_1p79mNm", motor_speed_rad_s(&motor[0], 12, torque));
    example_out(example, "RF500_I_at_1p79mNm", motor_current_a(&motor[0], torque));
    assert_true(is_near(out[4][0], 4630 * rpm, 0.03) && is_near(out[3][0], 0.13, 0.03));
    assert_true(is_near(out[6][1], 134, 0.03) && is_near(out[6][2], 190, 0.03)); /* S13: watts */
}

static void greatest_power(struct example *example) {
    double n0[3], ts[3], half_speed[3], half_torque[3], power[3];
    size_t count = example_in_list(example, "n0", n0, 3);
    assert_int_equal(example_in_list(example, "T_stall", ts, 3), count);
    for (size_t i = 0; i < count; i++) {
        struct motor motor = motor_on(&(struct motor_sheet){12, n0[i], 0.1, ts[i], 3});
        struct motor_best best = motor_best(&motor, 12);
        half_torque[i] = best.stall_n_m / 2;
        half_speed[i] = motor_speed_rad_s(&motor, 12, half_torque[i]);
        power[i] = best.greatest_power_w;
    }
    example_out_list(example, "n_half", half_speed, count);
    example_out_list(example, "T_half", half_torque, count);
    example_out_list(example, "P_max", power, count);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {
        {"D2", sheet_540}, {"D3", three_sheets}, {"D11", greatest_power}};
    examples_run("motor", tests, 3);
}

static const struct motor_sheet good_sheet = {12, 1759, 1, 0.2788, 42};

/* n = n0 (1 - T/T_s), I = I0 + (I_s - I0) T/T_s, though Kt and Ke are 24 % apart. */
static void model_is_the_straight_lines_of_the_sheet(void **state) {
    (void)state;
    struct motor_sheet sheet = {12, 1990, 0.4, 0.38, 84}; /* RS-550, S13 */
    struct motor motor = motor_on(&sheet);
    for (double part = 0; part <= 1; part += 0.125) {
        double torque = part * 0.38, speed = 1990 * (1 - part), current = 0.4 + 83.6 * part;
        assert_true(fabs(motor_speed_rad_s(&motor, 12, torque) - speed) < 1e-9);
        assert_true(fabs(motor_current_a(&motor, torque) - current) < 1e-9);
        assert_true(fabs(motor_voltage_v(&motor, torque, speed) - 12) < 1e-9);
        assert_true(fabs(motor_torque_n_m(&motor, current) - torque) < 1e-12);
        assert_true(fabs(motor_current_at_speed_a(&motor, 12, speed) - current) < 1e-9);
    }
}

static const char *check(const void *what) {
    return motor_check(what);
}

static const char *check_sheet(const void *what) {
    struct motor unused;
    return motor_from_sheet(what, &unused);
}

static void bad_numbers_are_refused(void **state) {
    (void)state;
    struct motor motor = motor_on(&good_sheet);
    bad_numbers_refused(&motor.resistance_ohm, NOT_ABOVE_ZERO, check, &motor);
    bad_numbers_refused(&motor.ke_v_s_rad, NOT_ABOVE_ZERO, check, &motor);
    bad_numbers_refused(&motor.kt_n_m_a, NOT_ABOVE_ZERO, check, &motor);
    bad_numbers_refused(&motor.no_load_a, NEGATIVE, check, &motor);
    struct motor_sheet sheet = good_sheet;
    bad_numbers_refused(&sheet.voltage_v, NOT_ABOVE_ZERO, check_sheet, &sheet);
    bad_numbers_refused(&sheet.no_load_rad_s, NOT_ABOVE_ZERO, check_sheet, &sheet);
    bad_numbers_refused(&sheet.no_load_a, NEGATIVE, check_sheet, &sheet);
    bad_numbers_refused(&sheet.stall_n_m, NOT_ABOVE_ZERO, check_sheet, &sheet);
    bad_numbers_refused(&sheet.stall_a, NOT_ABOVE_ZERO, check_sheet, &sheet);
}

static void contradictions_are_refused_and_change_nothing(void **state) {
    (void)state;
    struct motor motor = {.resistance_ohm = 42};
    struct motor_sheet sheet = good_sheet;
    sheet.no_load_a = sheet.stall_a;
    bad_numbers_said(motor_from_sheet(&sheet, &motor), "above the no-load current");
    sheet = good_sheet;
    sheet.voltage_v = 0;
    bad_numbers_said(motor_from_sheet(&sheet, &motor), "voltage");
    sheet = good_sheet;
    sheet.no_load_rad_s = NAN;
    bad_numbers_said(motor_from_sheet(&sheet, &motor), "no-load speed");
    sheet = good_sheet;
    sheet.no_load_a = -1;
    bad_numbers_said(motor_from_sheet(&sheet, &motor), "no-load current");
    assert_true(motor.resistance_ohm == 42);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(model_is_the_straight_lines_of_the_sheet),
        cmocka_unit_test(bad_numbers_are_refused),
        cmocka_unit_test(contradictions_are_refused_and_change_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
