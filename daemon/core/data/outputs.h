/* outputs.h: what the bridge does to the world. All zero is the safe state. */
#ifndef CORE_OUTPUTS_H
#define CORE_OUTPUTS_H

#include "core/data/setup.h"

#include <stdbool.h>

enum lock_drive { LOCK_DRIVE_REST = 0, LOCK_DRIVE_DRIVEN, LOCK_DRIVE_WITHDRAWN };

enum river_lights { RIVER_RED = 0, RIVER_RED_FLASHING, RIVER_GREEN };

struct track_end_outputs {
    bool signal_proceed;
    bool stop_power;
};

struct track_outputs {
    struct track_end_outputs end[TRACK_ENDS];
    bool span_power;
};

struct bridge_outputs {
    double lift_effort; /* -1..1 of the supply; positive raises */
    bool brake_released;
    enum lock_drive lock;
    struct track_outputs track[BRIDGE_TRACKS_MAX];
    bool horn;
    enum river_lights river;
};

#endif
