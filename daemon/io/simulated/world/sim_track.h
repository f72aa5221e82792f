/* sim_track.h: the track beside the simulated bridge: sections in a row, their current, and the
 * home signals as a crew sees them and as their relays prove them.
 *
 *     end 0 >  approach 0 |signal 0| stop 0 | span | stop 1 |signal 1| approach 1  < end 1
 *
 * Places are metres along the way of a train, from the outer end of the approach section of the end
 * it comes from; a train from end 1 meets the same sections the other way round.
 */
#ifndef IO_SIM_TRACK_H
#define IO_SIM_TRACK_H

#include "core/data/outputs.h"
#include "io/simulated/sim_faults.h"
#include "io/simulated/simulation_setup.h"

#include <stdbool.h>
#include <stdint.h>

/* Sections in the order a train meets them. */
enum sim_section {
    SIM_NEAR_APPROACH = 0,
    SIM_NEAR_STOP,
    SIM_SPAN,
    SIM_FAR_STOP,
    SIM_FAR_APPROACH,
    SIM_SECTIONS
};

struct sim_stretch {
    double from_m, to_m;
};

struct sim_signal {
    bool shows_proceed; /* what a crew sees */
    bool is_proved_at_stop;
    uint64_t proved_at_us; /* when the relay follows the aspect */
};

struct sim_track {
    struct sim_signal signal[TRACK_ENDS];
    bool stop_powered[TRACK_ENDS];
    bool span_powered;
};

/* Where a section lies for a train from this end. */
struct sim_stretch sim_track_section(const struct simulation_track *track, unsigned from_end,
                                     enum sim_section section);

/* The whole way, from one approach section's outer end to the other's. */
double sim_track_length(const struct simulation_track *track);

/* Current on a section; approach sections always have it. */
bool sim_track_is_powered(const struct sim_track *track, unsigned from_end,
                          enum sim_section section);

/* Follows the outputs of track number `number`; signals' proofs come `relay_us` later. */
void sim_track_follow(struct sim_track *track, const struct track_outputs *outputs,
                      const struct sim_faults *faults, unsigned number, uint32_t relay_us,
                      uint64_t now_us);

/* When the next proof is due; UINT64_MAX: none. */
uint64_t sim_track_due_us(const struct sim_track *track);

#endif
