#include "core/words/lines.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

_Static_assert(LINES_INPUTS <= 64 && LINES_OUTPUTS <= 64, "one bit each");

struct level_place {
    const char *name;
    size_t offset;
};

static const struct level_place own_places[LINES_OWN_LEVELS] = {
    {"seated", offsetof(struct bridge_inputs, seated)},
    {"nearly-seated", offsetof(struct bridge_inputs, nearly_seated)},
    {"open", offsetof(struct bridge_inputs, open)},
    {"nearly-open", offsetof(struct bridge_inputs, nearly_open)},
    {"within-travel", offsetof(struct bridge_inputs, within_travel)},
    {"locked", offsetof(struct bridge_inputs, locked)},
    {"withdrawn", offsetof(struct bridge_inputs, withdrawn)},
    {"stop-circuit", offsetof(struct bridge_inputs, stop_circuit)},
    {"rail-1", offsetof(struct bridge_inputs, rail[0])},
    {"rail-2", offsetof(struct bridge_inputs, rail[1])},
    {"rail-3", offsetof(struct bridge_inputs, rail[2])},
    {"rail-4", offsetof(struct bridge_inputs, rail[3])},
};

static const struct level_place end_places[LINES_END_LEVELS] = {
    {"approach", offsetof(struct track_end_inputs, approach_clear)},
    {"standing", offsetof(struct track_end_inputs, standing)},
    {"stop", offsetof(struct track_end_inputs, stop_clear)},
    {"signal", offsetof(struct track_end_inputs, signal_at_stop)},
    {"power", offsetof(struct track_end_inputs, stop_dead)},
};

static const struct level_place span_places[LINES_SPAN_LEVELS] = {
    {"span", offsetof(struct track_inputs, span_clear)},
    {"span-power", offsetof(struct track_inputs, span_dead)},
};

static const char *const own_outputs[LINES_OWN_OUTPUTS] = {"lift", "brake", "lock", "horn",
                                                           "river"};

static uint64_t bit(unsigned number) {
    return UINT64_C(1) << number;
}

static uint64_t bit_if(bool is_there, unsigned number) {
    return is_there ? bit(number) : 0;
}

static enum level *level_at(void *base, size_t offset) {
    return (enum level *)(void *)((char *)base + offset);
}

enum level *lines_level(struct bridge_inputs *inputs, unsigned number) {
    if (number < LINES_OWN_LEVELS) {
        return level_at(inputs, own_places[number].offset);
    }
    struct track_inputs *track = &inputs->track[(number - LINES_OWN_LEVELS) / LINES_TRACK_LEVELS];
    unsigned within = (number - LINES_OWN_LEVELS) % LINES_TRACK_LEVELS;
    if (within < TRACK_ENDS * LINES_END_LEVELS) {
        return level_at(&track->end[within / LINES_END_LEVELS],
                        end_places[within % LINES_END_LEVELS].offset);
    }
    return level_at(track, span_places[within - TRACK_ENDS * LINES_END_LEVELS].offset);
}

unsigned lines_levels(unsigned tracks) {
    return LINES_OWN_LEVELS + tracks * LINES_TRACK_LEVELS;
}

static void name_track_level(const struct line_track *track, unsigned within,
                             char name[LINE_NAME_SIZE]) {
    if (within < TRACK_ENDS * LINES_END_LEVELS) {
        snprintf(name, LINE_NAME_SIZE, "%s.%s.%s", track->name,
                 track->end[within / LINES_END_LEVELS], end_places[within % LINES_END_LEVELS].name);
    } else {
        snprintf(name, LINE_NAME_SIZE, "%s.%s", track->name,
                 span_places[within - TRACK_ENDS * LINES_END_LEVELS].name);
    }
}

void lines_input_name(const struct line_track *tracks, unsigned number, char name[LINE_NAME_SIZE]) {
    if (number < LINES_OWN_LEVELS) {
        snprintf(name, LINE_NAME_SIZE, "%s", own_places[number].name);
    } else if (number < LINES_LEVELS) {
        name_track_level(&tracks[(number - LINES_OWN_LEVELS) / LINES_TRACK_LEVELS],
                         (number - LINES_OWN_LEVELS) % LINES_TRACK_LEVELS, name);
    } else {
        snprintf(name, LINE_NAME_SIZE, "%s", number == LINE_POSITION ? "position" : "current");
    }
}

/* Of a track: signal and power of end 0, of end 1, then the power of the span section. */
void lines_output_name(const struct line_track *tracks, unsigned number,
                       char name[LINE_NAME_SIZE]) {
    if (number < LINES_OWN_OUTPUTS) {
        snprintf(name, LINE_NAME_SIZE, "%s", own_outputs[number]);
        return;
    }
    const struct line_track *track = &tracks[(number - LINES_OWN_OUTPUTS) / LINES_TRACK_OUTPUTS];
    unsigned within = (number - LINES_OWN_OUTPUTS) % LINES_TRACK_OUTPUTS;
    if (within == TRACK_ENDS * 2) {
        snprintf(name, LINE_NAME_SIZE, "%s.span-power", track->name);
    } else {
        snprintf(name, LINE_NAME_SIZE, "%s.%s.%s", track->name, track->end[within / 2],
                 within % 2 == 0 ? "signal" : "power");
    }
}

unsigned lines_signal(unsigned track, unsigned end) {
    return LINES_OWN_OUTPUTS + track * LINES_TRACK_OUTPUTS + end * 2;
}

unsigned lines_stop_power(unsigned track, unsigned end) {
    return lines_signal(track, end) + 1;
}

unsigned lines_span_power(unsigned track) {
    return lines_signal(track, 0) + TRACK_ENDS * 2;
}

/* Numbers of a track's levels. */
static unsigned end_level(unsigned track, unsigned end, unsigned which) {
    return LINES_OWN_LEVELS + track * LINES_TRACK_LEVELS + end * LINES_END_LEVELS + which;
}

static unsigned span_level(unsigned track, unsigned which) {
    return end_level(track, TRACK_ENDS, which);
}

bool lines_proof(unsigned output, unsigned *input) {
    if (output < LINES_OWN_OUTPUTS) {
        return false;
    }
    unsigned track = (output - LINES_OWN_OUTPUTS) / LINES_TRACK_OUTPUTS;
    unsigned within = (output - LINES_OWN_OUTPUTS) % LINES_TRACK_OUTPUTS;
    *input = within == TRACK_ENDS * 2 ? span_level(track, 1)
                                      : end_level(track, within / 2, 3 + within % 2);
    return true;
}

static bool track_output_is_on(const struct track_outputs *track, unsigned within) {
    if (within == TRACK_ENDS * 2) {
        return track->span_power;
    }
    const struct track_end_outputs *end = &track->end[within / 2];
    return within % 2 == 0 ? end->signal_proceed : end->stop_power;
}

bool lines_is_on(const struct bridge_outputs *outputs, unsigned number) {
    switch (number) {
    case LINE_LIFT:
        return outputs->lift_effort != 0;
    case LINE_BRAKE:
        return outputs->brake_released;
    case LINE_LOCK:
        return outputs->lock != LOCK_DRIVE_REST;
    case LINE_HORN:
        return outputs->horn;
    case LINE_RIVER:
        return outputs->river == RIVER_GREEN;
    default:
        return track_output_is_on(
            &outputs->track[(number - LINES_OWN_OUTPUTS) / LINES_TRACK_OUTPUTS],
            (number - LINES_OWN_OUTPUTS) % LINES_TRACK_OUTPUTS);
    }
}

bool lines_wants_on(const struct bridge_outputs *outputs, unsigned number, enum line_when when) {
    switch (when) {
    case LINE_WHEN_ON:
        break;
    case LINE_WHEN_RAISE:
        return outputs->lift_effort > 0;
    case LINE_WHEN_LOWER:
        return outputs->lift_effort < 0;
    case LINE_WHEN_DRIVEN:
        return outputs->lock == LOCK_DRIVE_DRIVEN;
    case LINE_WHEN_WITHDRAWN:
        return outputs->lock == LOCK_DRIVE_WITHDRAWN;
    case LINE_WHEN_RED:
        return outputs->river == RIVER_RED;
    case LINE_WHEN_FLASHING:
        return outputs->river == RIVER_RED_FLASHING;
    case LINE_WHEN_GREEN:
        return outputs->river == RIVER_GREEN;
    }
    return lines_is_on(outputs, number);
}

static struct line_set end_lines(const struct track_end_setup *end, unsigned t, unsigned e) {
    struct line_set set = {0, 0};
    if (end->is_used) {
        set.inputs = bit_if(end->has_approach_detector, end_level(t, e, 0)) |
                     bit_if(end->has_standing_detector, end_level(t, e, 1)) |
                     bit_if(end->has_stop_detector, end_level(t, e, 2)) |
                     bit_if(end->has_signal_proof, end_level(t, e, 3)) |
                     bit_if(end->has_stop_power_proof, end_level(t, e, 4));
        set.outputs = bit(lines_signal(t, e)) | bit(lines_stop_power(t, e));
    }
    return set;
}

static uint64_t own_inputs(const struct bridge_setup *setup) {
    uint64_t inputs = bit(0) | bit_if(setup->has_locked, 5) | bit_if(setup->has_nearly_seated, 1) |
                      bit_if(setup->has_open, 2) | bit_if(setup->has_nearly_open, 3) |
                      bit_if(setup->has_overtravel, 4) | bit_if(setup->has_withdrawn, 6) |
                      bit_if(setup->has_stop_circuit, 7) |
                      bit_if(setup->motion.has_position, LINE_POSITION) |
                      bit_if(setup->motion.has_current, LINE_CURRENT);
    return inputs | (bit(setup->rails) - 1) << 8;
}

struct line_set lines_needed(const struct bridge_setup *setup) {
    struct line_set set = {.inputs = own_inputs(setup),
                           .outputs = bit_if(!setup->is_hand_lifted, LINE_LIFT) |
                                      bit_if(setup->has_lock_drive, LINE_LOCK)};
    for (unsigned t = 0; t < setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            struct line_set end = end_lines(&setup->track[t].end[e], t, e);
            set.inputs |= end.inputs;
            set.outputs |= end.outputs;
        }
        set.inputs |= bit_if(setup->track[t].has_span_detector, span_level(t, 0)) |
                      bit_if(setup->track[t].has_span_power_proof, span_level(t, 1));
        set.outputs |= bit(lines_span_power(t));
    }
    return set;
}

struct line_set lines_there(const struct bridge_setup *setup) {
    struct line_set set = lines_needed(setup);
    set.outputs |= bit(LINE_HORN) | bit(LINE_RIVER) | bit_if(!setup->is_hand_lifted, LINE_BRAKE);
    return set;
}

void lines_forget(struct bridge_inputs *inputs) {
    memset(inputs, 0, sizeof *inputs); /* LEVEL_UNKNOWN */
    inputs->position_frac = NAN;
    inputs->current_a = NAN;
}

void lines_take(struct bridge_inputs *to, const struct bridge_inputs *from, uint64_t set) {
    struct bridge_inputs copy = *from;
    for (unsigned i = 0; i < LINES_LEVELS; i++) {
        if ((set & bit(i)) != 0) {
            *lines_level(to, i) = *lines_level(&copy, i);
        }
    }
    if ((set & bit(LINE_POSITION)) != 0) {
        to->position_frac = from->position_frac;
    }
    if ((set & bit(LINE_CURRENT)) != 0) {
        to->current_a = from->current_a;
    }
}
