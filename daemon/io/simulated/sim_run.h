/* sim_run.h: how far and how fast a train goes in a short time. Pure kinematics, m and s; exact for
 * constant deceleration (v^2 / 2a), so that stopping distances do not depend on the step. */
#ifndef IO_SIM_RUN_H
#define IO_SIM_RUN_H

struct sim_run {
    double along_m; /* of the front */
    double speed_m_s;
};

/* Slows down at `rate_m_s2` > 0, and stands once it has stopped. */
void sim_run_slow(struct sim_run *run, double rate_m_s2, double dt_s);

/* Drives at up to `speed_m_s`, speeding up at `acceleration_m_s2` and braking at no more than
 * `braking_m_s2` so as to stand `room_m` from here (INFINITY: nothing ahead). With less room than
 * its braking distance it brakes all it can and overshoots. */
void sim_run_drive(struct sim_run *run, double speed_m_s, double acceleration_m_s2,
                   double braking_m_s2, double room_m, double dt_s);

#endif
