#include "mechanics/drive/motor.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

const char *motor_check(const struct motor *motor) {
    if (!number_is_positive(motor->resistance_ohm)) {
        return "the motor's resistance must be above zero";
    }
    if (!number_is_positive(motor->ke_v_s_rad)) {
        return "the motor's speed constant must be above zero";
    }
    if (!number_is_positive(motor->kt_n_m_a)) {
        return "the motor's torque constant must be above zero";
    }
    if (!number_is_not_negative(motor->no_load_a)) {
        return "the motor's no-load current must be finite and not negative";
    }
    return NULL;
}

static const char *no_load_check(double voltage_v, double no_load_rad_s, double no_load_a) {
    if (!number_is_positive(voltage_v)) {
        return "the voltage must be above zero";
    }
    if (!number_is_positive(no_load_rad_s)) {
        return "the no-load speed must be above zero";
    }
    if (!number_is_not_negative(no_load_a)) {
        return "the no-load current must be finite and not negative";
    }
    return NULL;
}

static const char *keep_if_sound(const struct motor *found, struct motor *motor) {
    const char *wrong = motor_check(found);
    if (!wrong) {
        *motor = *found;
    }
    return wrong;
}

const char *motor_from_sheet(const struct motor_sheet *sheet, struct motor *motor) {
    const char *wrong = no_load_check(sheet->voltage_v, sheet->no_load_rad_s, sheet->no_load_a);
    if (wrong) {
        return wrong;
    }
    if (!number_is_positive(sheet->stall_n_m)) {
        return "the stall torque must be above zero";
    }
    if (!isfinite(sheet->stall_a) || sheet->stall_a <= sheet->no_load_a) {
        return "the stall current must be above the no-load current";
    }
    struct motor found;
    found.resistance_ohm = sheet->voltage_v / sheet->stall_a;
    found.ke_v_s_rad =
        (sheet->voltage_v - sheet->no_load_a * found.resistance_ohm) / sheet->no_load_rad_s;
    found.kt_n_m_a = sheet->stall_n_m / (sheet->stall_a - sheet->no_load_a);
    found.no_load_a = sheet->no_load_a;
    return keep_if_sound(&found, motor);
}

bool motor_constants_differ(const struct motor *motor) {
    return fabs(motor->kt_n_m_a / motor->ke_v_s_rad - 1) > 0.1;
}

double motor_current_a(const struct motor *motor, double torque_n_m) {
    return motor->no_load_a + torque_n_m / motor->kt_n_m_a;
}

double motor_torque_n_m(const struct motor *motor, double current_a) {
    return motor->kt_n_m_a * (current_a - motor->no_load_a);
}

double motor_voltage_v(const struct motor *motor, double torque_n_m, double speed_rad_s) {
    return motor_current_a(motor, torque_n_m) * motor->resistance_ohm +
           motor->ke_v_s_rad * speed_rad_s;
}

double motor_speed_rad_s(const struct motor *motor, double voltage_v, double torque_n_m) {
    return (voltage_v - motor_current_a(motor, torque_n_m) * motor->resistance_ohm) /
           motor->ke_v_s_rad;
}

double motor_current_at_speed_a(const struct motor *motor, double voltage_v, double speed_rad_s) {
    return (voltage_v - motor->ke_v_s_rad * speed_rad_s) / motor->resistance_ohm;
}

struct motor_best motor_best(const struct motor *motor, double voltage_v) {
    struct motor_best best;
    best.stall_a = voltage_v / motor->resistance_ohm;
    best.stall_n_m = motor_torque_n_m(motor, best.stall_a);
    best.no_load_rad_s = motor_speed_rad_s(motor, voltage_v, 0.0);
    best.current_a = sqrt(motor->no_load_a * best.stall_a);
    best.speed_rad_s = (voltage_v - best.current_a * motor->resistance_ohm) / motor->ke_v_s_rad;
    double root = 1 - sqrt(motor->no_load_a / best.stall_a);
    best.efficiency = root * root;
    best.greatest_power_w = best.stall_n_m * best.no_load_rad_s / 4;
    return best;
}
