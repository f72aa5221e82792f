#include "io/simulated/world/sim_track.h"

static double section_length(const struct simulation_track *track, unsigned from_end,
                             enum sim_section section) {
    unsigned far_end = 1 - from_end;
    switch (section) {
    case SIM_NEAR_APPROACH:
        return track->approach_m[from_end];
    case SIM_NEAR_STOP:
        return track->stop_m[from_end];
    case SIM_SPAN:
        return track->span_m;
    case SIM_FAR_STOP:
        return track->stop_m[far_end];
    case SIM_FAR_APPROACH:
        return track->approach_m[far_end];
    case SIM_SECTIONS:
        break;
    }
    return 0;
}

struct sim_stretch sim_track_section(const struct simulation_track *track, unsigned from_end,
                                     enum sim_section section) {
    struct sim_stretch stretch = {0, 0};
    for (int s = SIM_NEAR_APPROACH; s <= (int)section; s++) {
        stretch.from_m = stretch.to_m;
        stretch.to_m += section_length(track, from_end, (enum sim_section)s);
    }
    return stretch;
}

double sim_track_length(const struct simulation_track *track) {
    return sim_track_section(track, 0, SIM_FAR_APPROACH).to_m;
}

bool sim_track_is_powered(const struct sim_track *track, unsigned from_end,
                          enum sim_section section) {
    switch (section) {
    case SIM_NEAR_STOP:
        return track->stop_powered[from_end];
    case SIM_SPAN:
        return track->span_powered;
    case SIM_FAR_STOP:
        return track->stop_powered[1 - from_end];
    case SIM_NEAR_APPROACH:
    case SIM_FAR_APPROACH:
    case SIM_SECTIONS:
        break;
    }
    return true;
}

static void signal_follow(struct sim_signal *signal, bool proceed, uint32_t relay_us,
                          uint64_t now_us) {
    if (signal->shows_proceed != proceed) {
        signal->shows_proceed = proceed;
        signal->proved_at_us = now_us + relay_us;
    }
    if (now_us >= signal->proved_at_us) {
        signal->is_proved_at_stop = !signal->shows_proceed;
    }
}

/* What is put out, unless it is stuck one way or the other. */
static bool obeyed(bool output, const struct sim_faults *faults, enum sim_fault stuck_on,
                   enum sim_fault stuck_off, unsigned which) {
    return (output || sim_faults_is_on(faults, stuck_on, which)) &&
           !sim_faults_is_on(faults, stuck_off, which);
}

void sim_track_follow(struct sim_track *track, const struct track_outputs *outputs,
                      const struct sim_faults *faults, unsigned number, uint32_t relay_us,
                      uint64_t now_us) {
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        bool proceed = obeyed(outputs->end[e].signal_proceed, faults, SIM_SIGNAL_PROCEED,
                              SIM_SIGNAL_STOP, sim_faults_signal(number, e));
        signal_follow(&track->signal[e], proceed, relay_us, now_us);
        track->stop_powered[e] = obeyed(outputs->end[e].stop_power, faults, SIM_POWER_STUCK,
                                        SIM_POWER_DEAD, sim_faults_stop_section(number, e));
    }
    track->span_powered = obeyed(outputs->span_power, faults, SIM_POWER_STUCK, SIM_POWER_DEAD,
                                 sim_faults_span_section(number));
}

uint64_t sim_track_due_us(const struct sim_track *track) {
    uint64_t due_us = UINT64_MAX;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        const struct sim_signal *signal = &track->signal[e];
        if (signal->is_proved_at_stop == signal->shows_proceed && signal->proved_at_us < due_us) {
            due_us = signal->proved_at_us;
        }
    }
    return due_us;
}
