#include "prove/judges/judged.h"

bool judged_is_safe(const struct judged *j) {
    const struct bridge_outputs *out = j->out;
    for (unsigned t = 0; t < j->setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (out->track[t].end[e].signal_proceed || out->track[t].end[e].stop_power) {
                return false;
            }
        }
        if (out->track[t].span_power) {
            return false;
        }
    }
    return out->lift_effort == 0 && !out->brake_released && out->lock == LOCK_DRIVE_REST;
}

bool judged_has_failed_safe(const struct judged *j) {
    return j->after->phase == PHASE_FAULT && judged_is_safe(j);
}

bool judged_is_entered(const struct judged *j, enum bridge_phase phase) {
    return j->after->phase == phase && j->before->phase != phase;
}
