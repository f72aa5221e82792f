#include "io/wired/reading.h"

#include <math.h>

static bool has_jumped(const struct reading *reading, const struct reading_limits *limits,
                       double value, uint64_t now_us) {
    double past_s = (double)(now_us - reading->last_us) / 1e6;
    return limits->jump_per_s > 0 && reading->is_known &&
           fabs(value - reading->last) > limits->jump_per_s * past_s;
}

static bool is_frozen(struct reading *reading, const struct reading_limits *limits, double value,
                      bool is_driven, uint64_t now_us) {
    if (!reading->is_known || !is_driven || value != reading->last) {
        reading->changed_us = now_us;
    }
    return limits->frozen_us > 0 && now_us - reading->changed_us >= limits->frozen_us;
}

double reading_judge(struct reading *reading, const struct reading_limits *limits, double value,
                     bool is_driven, uint64_t now_us) {
    if (!(value >= limits->least && value <= limits->most)) {
        reading->is_known = false;
        return NAN;
    }
    bool is_wrong = has_jumped(reading, limits, value, now_us);
    is_wrong = is_frozen(reading, limits, value, is_driven, now_us) || is_wrong;
    reading->is_known = true;
    reading->last = value;
    reading->last_us = now_us;
    return is_wrong ? NAN : value;
}
