/* motor.h: a brushed direct-current motor with permanent magnets. V = I R + Ke w;
 * T = Kt (I - I0) (textbook model). Pure: no I/O, no allocation. SI units.
 *
 * Torque, current and speed count in the direction of turning. With Kt and Ke kept apart the model
 * is the straight-line one, n = n0 (1 - T/T_s), I = I0 + (I_s - I0) T/T_s, which honours all
 * four numbers of a sheet at the sheet's voltage; the lines as usual in teaching (VEX Robotics
 * curriculum, speed-power-torque). A motor that only follows V = I R + Ke w has Kt = Ke. */
#ifndef MECHANICS_MOTOR_H
#define MECHANICS_MOTOR_H

#include <stdbool.h>

struct motor {
    double resistance_ohm;
    double ke_v_s_rad;
    double kt_n_m_a;
    double no_load_a;
};

/* What a data sheet says, all at one voltage. */
struct motor_sheet {
    double voltage_v;
    double no_load_rad_s;
    double no_load_a;
    double stall_n_m;
    double stall_a;
};

/* NULL, or what is wrong in words (static storage), and then `motor` is not changed. */
const char *motor_from_sheet(const struct motor_sheet *sheet, struct motor *motor);
const char *motor_check(const struct motor *motor);

/* Kt and Ke differ by more than a tenth: the sheet contradicts itself (common practice, no source).
 * Worth a warning; the straight-line model is kept. */
bool motor_constants_differ(const struct motor *motor);

/* Current to give this torque at the shaft. */
double motor_current_a(const struct motor *motor, double torque_n_m);
double motor_torque_n_m(const struct motor *motor, double current_a);
/* Voltage to turn at this speed against this torque. */
double motor_voltage_v(const struct motor *motor, double torque_n_m, double speed_rad_s);
double motor_speed_rad_s(const struct motor *motor, double voltage_v, double torque_n_m);
/* Current the motor takes at this voltage while it turns at this speed: at rest the stall current.
 */
double motor_current_at_speed_a(const struct motor *motor, double voltage_v, double speed_rad_s);

/* Where the motor works best at this voltage (above zero): efficiency (1 - sqrt(I0/I_s))^2 at
 * sqrt(I0 I_s). */
struct motor_best {
    double current_a;
    double speed_rad_s;
    double efficiency;
    double greatest_power_w; /* T_s w0/4, at half the no-load speed */
    double stall_a;
    double stall_n_m;
    double no_load_rad_s;
};
struct motor_best motor_best(const struct motor *motor, double voltage_v);

#endif
