#include "io/sim_inputs.h"

#include <stddef.h>
#include <stdio.h>

struct input_place {
    const char *name;
    size_t offset;
};

static const struct input_place own_places[SIM_OWN_INPUTS] = {
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

static const struct input_place end_places[SIM_END_INPUTS] = {
    {"approach", offsetof(struct track_end_inputs, approach_clear)},
    {"standing", offsetof(struct track_end_inputs, standing)},
    {"stop", offsetof(struct track_end_inputs, stop_clear)},
    {"signal", offsetof(struct track_end_inputs, signal_at_stop)},
    {"power", offsetof(struct track_end_inputs, stop_dead)},
};

static const struct input_place span_places[SIM_SPAN_INPUTS] = {
    {"span", offsetof(struct track_inputs, span_clear)},
    {"span-power", offsetof(struct track_inputs, span_dead)},
};

unsigned sim_inputs_count(unsigned tracks) {
    return SIM_OWN_INPUTS + tracks * SIM_TRACK_INPUTS;
}

static enum level *level_at(void *base, size_t offset) {
    return (enum level *)(void *)((char *)base + offset);
}

enum level *sim_inputs_level(struct bridge_inputs *inputs, unsigned number) {
    if (number < SIM_OWN_INPUTS) {
        return level_at(inputs, own_places[number].offset);
    }
    struct track_inputs *track = &inputs->track[(number - SIM_OWN_INPUTS) / SIM_TRACK_INPUTS];
    unsigned within = (number - SIM_OWN_INPUTS) % SIM_TRACK_INPUTS;
    if (within < TRACK_ENDS * SIM_END_INPUTS) {
        return level_at(&track->end[within / SIM_END_INPUTS],
                        end_places[within % SIM_END_INPUTS].offset);
    }
    return level_at(track, span_places[within - TRACK_ENDS * SIM_END_INPUTS].offset);
}

void sim_inputs_name(const struct simulation_track *tracks, unsigned number,
                     char name[SIM_INPUT_NAME_SIZE]) {
    if (number < SIM_OWN_INPUTS) {
        snprintf(name, SIM_INPUT_NAME_SIZE, "%s", own_places[number].name);
        return;
    }
    const struct simulation_track *track = &tracks[(number - SIM_OWN_INPUTS) / SIM_TRACK_INPUTS];
    unsigned within = (number - SIM_OWN_INPUTS) % SIM_TRACK_INPUTS;
    if (within < TRACK_ENDS * SIM_END_INPUTS) {
        snprintf(name, SIM_INPUT_NAME_SIZE, "%s.%s.%s", track->name,
                 track->end_name[within / SIM_END_INPUTS],
                 end_places[within % SIM_END_INPUTS].name);
    } else {
        snprintf(name, SIM_INPUT_NAME_SIZE, "%s.%s", track->name,
                 span_places[within - TRACK_ENDS * SIM_END_INPUTS].name);
    }
}
