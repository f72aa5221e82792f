#include "io/simulated/world/sim_inputs.h"

void sim_inputs_name(const struct simulation_track *tracks, unsigned number,
                     char name[LINE_NAME_SIZE]) {
    struct line_track names[BRIDGE_TRACKS_MAX];
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        names[t].name = tracks[t].name;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            names[t].end[e] = tracks[t].end_name[e];
        }
    }
    lines_input_name(names, number, name);
}
