#include "mechanics/trains/train_stop.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

const char *train_stop_check(const struct train *train) {
    if (!number_is_positive(train->speed_m_s)) {
        return "the train's speed must be above zero";
    }
    if (!number_is_positive(train->deceleration_m_s2)) {
        return "the train's deceleration must be above zero";
    }
    if (!isfinite(train->grade) || fabs(train->grade) >= 1.0) {
        return "the grade must be between -100 % and 100 %";
    }
    if (!number_is_not_negative(train->reaction_s)) {
        return "the reaction time must be finite and not negative";
    }
    if (!number_is_not_negative(train->pickup_span_m) || !number_is_not_negative(train->margin_m)) {
        return "pickup span and margin must be finite and not negative";
    }
    if (train_stop_deceleration_m_s2(train) <= 0.0) {
        return "the train cannot stop: the grade pulls harder than it brakes";
    }
    return NULL;
}

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

double train_stop_greatest_speed_m_s(const struct train *train, double section_m) {
    double a = train_stop_deceleration_m_s2(train), t = train->reaction_s;
    double room = section_m - train->pickup_span_m - train->margin_m;
    return room > 0.0 && a > 0.0 ? a * (sqrt(t * t + 2 * room / a) - t) : 0.0;
}

double train_stop_approach_lock_s(const struct train *train, double to_stop_section_m,
                                  double margin_s) {
    double to_run_s = to_stop_section_m / train->speed_m_s;
    return fmax(train_stop_time_s(train), to_run_s) + margin_s;
}

double train_stop_coasting_m_s2(double rolling_coefficient) {
    return NUMBER_GRAVITY_M_S2 * rolling_coefficient;
}

double train_stop_prototype_m_s(double model_m_s, double ratio) {
    return model_m_s * ratio;
}

double train_stop_model_m_s(double prototype_m_s, double ratio) {
    return prototype_m_s / ratio;
}
