#include "io/link/link_brake.h"

#include <stdio.h>

static bool is_approached(const struct track_setup *setup, const struct track_inputs *inputs) {
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        if (setup->end[e].is_used && setup->end[e].has_approach_detector &&
            inputs->end[e].approach_clear != LEVEL_ON) {
            return true;
        }
    }
    return false;
}

bool link_brake_is_wanted(const struct bridge_setup *setup, const struct bridge_inputs *inputs,
                          const struct bridge_outputs *outputs) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        if (!outputs->track[t].span_power && is_approached(&setup->track[t], &inputs->track[t])) {
            return true;
        }
    }
    return false;
}

void link_brake_look(struct link_brake *brake, unsigned trains, bool is_wanted) {
    bool begins = is_wanted && !brake->is_wanted;
    brake->is_wanted = is_wanted;
    for (unsigned i = 0; i < trains; i++) {
        brake->is_due[i] = is_wanted && (begins || brake->is_due[i]);
        brake->tried_us[i] = begins ? 0 : brake->tried_us[i];
    }
}

bool link_brake_told(struct link_brake *brake, const struct link_setup *setup,
                     const struct srcp_answer *answer) {
    struct srcp_text rest = answer->rest;
    int32_t address, mode, speed;
    if (!brake->is_wanted || !answer->has_group || answer->group != SRCP_GL ||
        answer->code != 100 || !srcp_text_number(srcp_text_word(&rest), &address) ||
        !srcp_text_number(srcp_text_word(&rest), &mode) ||
        !srcp_text_number(srcp_text_word(&rest), &speed) || mode == 2 || speed == 0) {
        return false;
    }
    bool is_ours = false;
    for (unsigned i = 0; i < setup->trains; i++) {
        if (setup->train[i].bus == answer->bus && (int32_t)setup->train[i].address == address) {
            brake->is_due[i] = is_ours = true;
        }
    }
    return is_ours;
}

int link_brake_next(const struct link_brake *brake, unsigned trains, uint64_t beat_us,
                    uint64_t now_us) {
    for (unsigned i = 0; i < trains; i++) {
        if (brake->is_due[i] &&
            (brake->tried_us[i] == 0 || now_us - brake->tried_us[i] >= beat_us)) {
            return (int)i;
        }
    }
    return -1;
}

void link_brake_set(const struct link_train *train, char line[LINK_LINE_SIZE]) {
    snprintf(line, LINK_LINE_SIZE, "SET %u GL %u 2 0 %u", train->bus, train->address, train->steps);
}

void link_brake_answered(struct link_brake *brake, unsigned train, bool is_taken, uint64_t now_us) {
    brake->is_due[train] = brake->is_due[train] && !is_taken;
    brake->tried_us[train] = now_us;
}
