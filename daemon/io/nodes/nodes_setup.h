/* nodes_setup.h: which of a bridge's lines are devices of other nodes of LCC, and how long it may
 * take. Plain settings, no pointers. Times in microseconds, all > 0. */
#ifndef IO_NODES_SETUP_H
#define IO_NODES_SETUP_H

#include "core/words/lines.h"

#include <stdint.h>

enum {
    NODES_INPUTS_MAX = BRIDGE_TRACKS_MAX * LINES_TRACK_LEVELS,
    NODES_OUTPUTS_MAX = BRIDGE_TRACKS_MAX * LINES_TRACK_OUTPUTS
};

/* What is read there: a pair of events. [1]: clear, at stop, dead; [0]: not so. */
struct nodes_pair {
    uint64_t event[2];
};

struct nodes_input {
    unsigned line;  /* a level of core/words/lines.h, of a track */
    unsigned point; /* several may share one */
};

struct nodes_output {
    unsigned line;    /* an output of core/words/lines.h that has a proof */
    unsigned command; /* several may share one: it is on only for all of them */
    unsigned proof;   /* a point: that it is off */
};

struct nodes_setup {
    uint32_t beat_us;  /* each point is asked for, and an unproved command sent again, this often */
    uint32_t stale_us; /* what was not confirmed for so long is not known */
    uint32_t obey_us;  /* longest time from a command to its proof */
    unsigned inputs;
    struct nodes_input input[NODES_INPUTS_MAX];
    unsigned points;
    struct nodes_pair point[NODES_INPUTS_MAX];
    unsigned outputs;
    struct nodes_output output[NODES_OUTPUTS_MAX];
    unsigned commands;
    struct nodes_pair command[NODES_OUTPUTS_MAX]; /* [1]: proceed, powered */
};

#endif
