#include "mechanics/household/motor_bench.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

static const char *check(const struct motor_bench_run *run, unsigned count) {
    for (unsigned i = 0; i < count; i++) {
        if (!number_is_positive(run[i].volts) || !number_is_positive(run[i].amps)) {
            return "voltages and currents must be above zero";
        }
    }
    return NULL;
}

static const char *take_held(const struct motor_bench_run *held, unsigned helds,
                             struct motor_bench *bench) {
    if (helds == 1) {
        bench->resistance_ohm = held[0].volts / held[0].amps;
        bench->brush_v = 0;
        return NULL;
    }
    bench->resistance_ohm = (held[1].volts - held[0].volts) / (held[1].amps - held[0].amps);
    if (!number_is_positive(bench->resistance_ohm)) {
        return "held fast, the higher voltage must draw more current";
    }
    bench->brush_v = held[0].volts - held[0].amps * bench->resistance_ohm;
    return NULL;
}

static double ke_of(const struct motor_bench *bench, const struct motor_bench_run *run) {
    return (run->volts - bench->brush_v - run->amps * bench->resistance_ohm) / run->rad_s;
}

const char *motor_bench_of(const struct motor_bench_run *free, unsigned frees,
                           const struct motor_bench_run *held, unsigned helds,
                           struct motor_bench *bench) {
    const char *wrong =
        frees < 1 || helds < 1 ? "a run free and one held fast are needed" : check(free, frees);
    wrong = wrong == NULL ? check(held, helds) : wrong;
    wrong = wrong == NULL ? take_held(held, helds, bench) : wrong;
    if (wrong != NULL) {
        return wrong;
    }
    double sum = 0, amps = 0;
    for (unsigned i = 0; i < frees; i++) {
        double ke = ke_of(bench, &free[i]);
        if (!number_is_positive(free[i].rad_s) || !number_is_positive(ke)) {
            return "turning free, the motor must turn, and take less than it does held fast";
        }
        sum += ke;
        amps += free[i].amps;
    }
    bench->ke_v_s_rad = sum / frees;
    bench->no_load_a = amps / frees;
    bench->differ =
        frees < 2 ? NAN : fabs(ke_of(bench, &free[0]) - ke_of(bench, &free[1])) / bench->ke_v_s_rad;
    return NULL;
}

struct motor_sheet motor_bench_sheet(const struct motor_bench *bench, double volts) {
    double driving_v = volts - bench->brush_v;
    double stall_a = driving_v / bench->resistance_ohm;
    return (struct motor_sheet){
        .voltage_v = volts,
        .no_load_rad_s = (driving_v - bench->no_load_a * bench->resistance_ohm) / bench->ke_v_s_rad,
        .no_load_a = bench->no_load_a,
        .stall_n_m = bench->ke_v_s_rad * (stall_a - bench->no_load_a),
        .stall_a = stall_a};
}
