/* motor_bench.h: a motor's constants from runs at home: turning free, and held fast for a second,
 * at one or two voltages. Pure: no I/O, no allocation.
 *
 * V = Vb + I R + Ke w (motor.h with the brushes' drop Vb). Two runs held fast: R is the slope, so
 * that the drop cancels; one: the drop counts as resistance. Ke from each free run, and how far
 * they differ tells whether the runs can be believed. Kt = Ke. */
#ifndef MECHANICS_MOTOR_BENCH_H
#define MECHANICS_MOTOR_BENCH_H

#include "mechanics/drive/motor.h"

struct motor_bench_run {
    double volts;
    double amps;
    double rad_s; /* of the motor; 0: held fast */
};

struct motor_bench {
    double resistance_ohm;
    double brush_v;
    double ke_v_s_rad;
    double no_load_a;
    double differ; /* the free runs' constants, as a part; NAN: one run only */
};

/* One or two of each. Returns NULL, or what is wrong in words (static storage). */
const char *motor_bench_of(const struct motor_bench_run *free, unsigned frees,
                           const struct motor_bench_run *held, unsigned helds,
                           struct motor_bench *bench);

/* Returns what a data sheet of this motor would say at this voltage. */
struct motor_sheet motor_bench_sheet(const struct motor_bench *bench, double volts);

#endif
