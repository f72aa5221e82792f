/* train_stop.h: how far a train runs before it stands, and how long the dead rail must be.
 * Pure. SI units. Formulas: v t + v^2/2a, on a grade a + g x grade (Barney, Haley & Nikandros,
 * Calculating Train Braking Distance, 2001; their energy balance).
 * The deceleration is the model's own and must be measured: a locomotive with a flywheel coasts. */
#ifndef MECHANICS_TRAIN_STOP_H
#define MECHANICS_TRAIN_STOP_H

struct train {
    double speed_m_s;
    double deceleration_m_s2; /* on the level, brakes on or power off as the case is */
    double grade;             /* rise over run in its direction: > 0 uphill */
    double reaction_s;        /* until it begins to brake; until the power is off */
    /* Longest distance between places that take current or bridge the rail joint: the locomotive,
     * and any lit car coupled to it. */
    double pickup_span_m;
    double margin_m;
};

/* All functions expect speed and deceleration above zero and nothing negative but the grade. A
 * train that the grade pulls harder than it brakes stops in INFINITY. */

double train_stop_deceleration_m_s2(const struct train *train); /* with the grade */
double train_stop_distance_m(const struct train *train);
double train_stop_time_s(const struct train *train);

/* Shortest dead section before the gap: stopping distance + pickup span + margin. */
double train_stop_dead_section_m(const struct train *train);

/* Approach locking: after the signal went to stop in a train's face, a train that could still stop
 * stands by then, and one that could not has been seen on the stop section. Its time to stop, but
 * at least the time to run `to_stop_section_m` at its speed; `margin_s` on top. Ask it of the
 * slowest train as well. Derived here from what 49 CFR 236.760 asks of approach locking (section
 * number from memory). */
double train_stop_approach_lock_s(const struct train *train, double to_stop_section_m,
                                  double margin_s);

/* Speeds: the model's times the scale's ratio; time is not scaled. */
double train_stop_prototype_m_s(double model_m_s, double ratio);

#endif
