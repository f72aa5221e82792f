/* link_brake.h: trains that are stopped by their address on another server while one of them may be
 * before a span that is not lined. No detector shows which one it is: all that the link lists
 * are stopped. Pure; times in microseconds. */
#ifndef IO_LINK_BRAKE_H
#define IO_LINK_BRAKE_H

#include "core/data/inputs.h"
#include "core/data/outputs.h"
#include "io/link/link_points.h"

#include <stdbool.h>
#include <stdint.h>

struct link_brake {
    bool is_wanted; /* as of the last look */
    bool is_due[LINK_TRAINS_MAX];
    uint64_t tried_us[LINK_TRAINS_MAX]; /* a refused one is tried again */
};

/* An approach is not seen clear, and the span it leads to has no power: it is not lined, or power
 * was taken from it. An approach without a detector tells nothing. */
bool link_brake_is_wanted(const struct bridge_setup *setup, const struct bridge_inputs *inputs,
                          const struct bridge_outputs *outputs);

/* Every train is to be stopped when that begins. */
void link_brake_look(struct link_brake *brake, unsigned trains, bool is_wanted);

/* Takes in a line of the INFO session: a train that somebody lets run again meanwhile is stopped
 * again. Returns whether there is one. */
bool link_brake_told(struct link_brake *brake, const struct link_setup *setup,
                     const struct srcp_answer *answer);

/* The train to stop next, or -1. */
int link_brake_next(const struct link_brake *brake, unsigned trains, uint64_t beat_us,
                    uint64_t now_us);

/* "SET 2 GL 3 2 0 28": drive mode 2 is the emergency stop. */
void link_brake_set(const struct link_train *train, char line[LINK_LINE_SIZE]);

void link_brake_answered(struct link_brake *brake, unsigned train, bool is_taken, uint64_t now_us);

#endif
