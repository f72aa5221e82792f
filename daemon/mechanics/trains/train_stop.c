#include "mechanics/trains/train_stop.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

double train_stop_deceleration_m_s2(const struct train *train) {
    return train->deceleration_m_s2 + NUMBER_GRAVITY_M_S2 * train->grade;
}

double train_stop_distance_m(const struct train *train) {
    double v = train->speed_m_s, a = train_stop_deceleration_m_s2(train);
    return a > 0 ? v * train->reaction_s + v * v / (2 * a) : INFINITY;
}

double train_stop_time_s(const struct train *train) {
    double a = train_stop_deceleration_m_s2(train);
    return a > 0 ? train->reaction_s + train->speed_m_s / a : INFINITY;
}

double train_stop_dead_section_m(const struct train *train) {
    return train_stop_distance_m(train) + train->pickup_span_m + train->margin_m;
}

double train_stop_approach_lock_s(const struct train *train, double to_stop_section_m,
                                  double margin_s) {
    double to_run_s = to_stop_section_m / train->speed_m_s;
    return fmax(train_stop_time_s(train), to_run_s) + margin_s;
}

double train_stop_prototype_m_s(double model_m_s, double ratio) {
    return model_m_s * ratio;
}
