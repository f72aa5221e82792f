/* sim_train.h: the trains of the simulated world, one after the other along their tracks.
 * A train runs at its throttle, stops before its signal and behind another train if its crew looks,
 * coasts to a stand where all of its pickup is on dead rail, is moved clear of the bridge by hand
 * after a while, runs on when there is current and a signal to run on, and leaves at the far end. A
 * train on the span while the span is not down is wrecked and stays.
 */
#ifndef IO_SIM_TRAIN_H
#define IO_SIM_TRAIN_H

#include "io/simulated/sim_faults.h"
#include "io/simulated/sim_news.h"
#include "io/simulated/sim_run.h"
#include "io/simulated/simulation_setup.h"
#include "io/simulated/world/sim_track.h"

#include <stdbool.h>
#include <stdint.h>

enum sim_train_mode {
    SIM_TRAIN_AWAY = 0, /* not on the layout; comes at due_us */
    SIM_TRAIN_RUNNING,  /* throttle open; it may stand before a signal */
    SIM_TRAIN_HALTED,   /* throttle closed by its crew */
    SIM_TRAIN_DEAD,     /* stands without current; moved by hand at due_us */
    SIM_TRAIN_BY_HAND,
    SIM_TRAIN_WRECKED
};

struct sim_train {
    enum sim_train_mode mode;
    unsigned from_end;  /* the end of its track at which it came in */
    struct sim_run run; /* front, in the direction from its end */
    uint64_t due_us;    /* UINT64_MAX: never */
    double hand_to_m;   /* where the hand puts its front */
    bool is_warned;     /* set back by hand, even a crew that ignored its signal looks at it */
    bool is_braking;    /* for a signal or a train ahead; told once */
};

/* What the trains see of the world. */
struct sim_surroundings {
    const struct simulation_setup *setup;
    const struct sim_track *track; /* BRIDGE_TRACKS_MAX of them */
    const struct sim_faults *faults;
    struct sim_news *news;
    bool is_gap_open; /* the span is not down */
};

enum sim_train_command {
    SIM_TRAIN_START = 0,
    SIM_TRAIN_STOP,
    SIM_TRAIN_REVERSE,
    SIM_TRAIN_GO_AWAY
};

/* Every train away, to come at its time. */
void sim_train_begin(const struct simulation_setup *setup, struct sim_train *trains);

/* All trains by `dt_s`, ending at `now_us`. Returns true if one was wrecked. */
bool sim_train_step(const struct sim_surroundings *around, struct sim_train *trains, double dt_s,
                    uint64_t now_us);

/* Whether one moves or is about to, as things stand. */
bool sim_train_is_moving(const struct sim_surroundings *around, const struct sim_train *trains);

/* The next time one of them will do something of itself; UINT64_MAX: none. */
uint64_t sim_train_due_us(const struct simulation_setup *setup, const struct sim_train *trains);

/* Does as told; false with `error` if that cannot be. */
bool sim_train_command(const struct sim_surroundings *around, struct sim_train *trains,
                       unsigned train, enum sim_train_command command, struct error *error);

/* Whether any part of a train is on this section of the track, seen from `from_end`. */
bool sim_train_is_on(const struct simulation_setup *setup, const struct sim_train *trains,
                     unsigned track, unsigned from_end, enum sim_section section);

/* Whether a train from this end is on its approach section and all such trains stand. */
bool sim_train_stands(const struct simulation_setup *setup, const struct sim_train *trains,
                      unsigned track, unsigned from_end);

#endif
