#include "io/simulated/sim_run.h"

#include <math.h>

/* Nearer and slower than this it stands: a crew's precision, not a number of physics. */
static const double stands_m = 1e-3;
static const double stands_m_s = 1e-3;

void sim_run_slow(struct sim_run *run, double rate_m_s2, double dt_s) {
    double v = run->speed_m_s;
    if (v <= rate_m_s2 * dt_s) {
        run->along_m += v * v / (2 * rate_m_s2);
        run->speed_m_s = 0;
        return;
    }
    run->along_m += (v - rate_m_s2 * dt_s / 2) * dt_s;
    run->speed_m_s = v - rate_m_s2 * dt_s;
}

/* The speed after `dt_s` from which it can just stop: v1^2 / 2b + (v + v1) dt / 2 = room. Negative:
 * there is none. */
static double speed_that_stops(double v, double b, double room_m, double dt_s) {
    double left = 2 * room_m - v * dt_s;
    if (left < 0) {
        return -1;
    }
    double half = b * dt_s / 2;
    return sqrt(half * half + b * left) - half;
}

void sim_run_drive(struct sim_run *run, double speed_m_s, double acceleration_m_s2,
                   double braking_m_s2, double room_m, double dt_s) {
    double v = run->speed_m_s;
    double wanted = fmin(v + acceleration_m_s2 * dt_s, speed_m_s);
    if (isfinite(room_m)) {
        if (room_m < stands_m && v < stands_m_s) {
            run->speed_m_s = 0;
            return;
        }
        wanted = fmin(wanted, speed_that_stops(v, braking_m_s2, room_m, dt_s));
    }
    if (wanted <= v - braking_m_s2 * dt_s) {
        sim_run_slow(run, braking_m_s2, dt_s);
        return;
    }
    run->along_m += (v + wanted) / 2 * dt_s;
    run->speed_m_s = fmax(wanted, 0);
}
