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

/* NULL, or what is wrong in words (static storage). All other functions expect a train that passed,
 * or one of which only the grade is wrong: that one stops in INFINITY, and from no speed. */
const char *train_stop_check(const struct train *train);

double train_stop_deceleration_m_s2(const struct train *train); /* with the grade */
double train_stop_distance_m(const struct train *train);
double train_stop_time_s(const struct train *train);

/* Shortest dead section before the gap: stopping distance + pickup span + margin. */
double train_stop_dead_section_m(const struct train *train);

/* The greatest speed (whatever the train's own) from which this dead section still stops it, m/s;
 * 0 if the section is shorter than pickup span and margin. */
double train_stop_greatest_speed_m_s(const struct train *train, double section_m);

/* Approach locking: after the signal went to stop in a train's face, a train that could still stop
 * stands by then, and one that could not has been seen on the stop section. Its time to stop, but
 * at least the time to run `to_stop_section_m` at its speed; `margin_s` on top. Ask it of the
 * slowest train as well. Derived here from what 49 CFR 236.760 asks of approach locking (section
 * number from memory). */
double train_stop_approach_lock_s(const struct train *train, double to_stop_section_m,
                                  double margin_s);

/* Deceleration of a train that rolls with its power cut: g x c_rr. Measure the coefficient. */
double train_stop_coasting_m_s2(double rolling_coefficient);

/* Speeds: the model's times the scale's ratio; time is not scaled. */
double train_stop_prototype_m_s(double model_m_s, double ratio);
double train_stop_model_m_s(double prototype_m_s, double ratio);

#endif
