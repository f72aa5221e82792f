/* sim_inputs.h: every level among the bridge's inputs, by number and by name, so that faults can
 * reach each of them. Names: "seated", "rail-2", "main.span", "main.west.approach". */
#ifndef IO_SIM_INPUTS_H
#define IO_SIM_INPUTS_H

#include "core/inputs.h"
#include "io/simulation_setup.h"

enum {
    SIM_OWN_INPUTS = 8 + BRIDGE_RAILS_MAX, /* the bridge's own */
    SIM_END_INPUTS = 5,                    /* of one end of a track */
    SIM_SPAN_INPUTS = 2,                   /* of a track on the span */
    SIM_TRACK_INPUTS = TRACK_ENDS * SIM_END_INPUTS + SIM_SPAN_INPUTS,
    SIM_INPUTS = SIM_OWN_INPUTS + BRIDGE_TRACKS_MAX * SIM_TRACK_INPUTS,
    SIM_INPUT_NAME_SIZE = 2 * SIMULATION_NAME_SIZE + 16
};

/* The level with this number, 0..SIM_INPUTS-1. */
enum level *sim_inputs_level(struct bridge_inputs *inputs, unsigned number);

/* Its name, into `name`. `tracks` names the tracks and their ends. */
void sim_inputs_name(const struct simulation_track *tracks, unsigned number,
                     char name[SIM_INPUT_NAME_SIZE]);

/* How many numbers are in use with this many tracks. */
unsigned sim_inputs_count(unsigned tracks);

#endif
