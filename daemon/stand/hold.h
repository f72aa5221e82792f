/* hold.h: the hand throttle: from where the hand has it to requests. A run begins when the throttle
 * leaves its rest, is held on by requests that come again and again, and ends when it is back at
 * rest, gives no reading, turns the other way or is not gripped. Whatever ends a run, the next one
 * begins only once the throttle has been seen at rest: a hand that stays there starts nothing.
 * Pure; times in microseconds. */
#ifndef STAND_HOLD_H
#define STAND_HOLD_H

#include "core/data/request.h"

#include <stdbool.h>
#include <stdint.h>

struct hold_setup {
    double dead_share;   /* below it the hand is at rest; THROTTLE_SHARE_LEAST and up */
    bool is_voltage;     /* as of the request */
    uint32_t refresh_us; /* a hold comes this often; below THROTTLE_US */
};

/* All zero is the start. */
struct hold {
    bool is_armed; /* seen at rest: a run may begin */
    int direction; /* of the run: 1 up, -1 down, 0 none */
    double share;  /* as last asked */
    uint64_t asked_us;
};

/* Takes in where the hand has the throttle: -1 full speed down, 0 at rest, 1 full speed up; not a
 * number: no reading, or not gripped. Fills `request` and returns whether something is to be asked;
 * then hold_answered() says what came of it. */
bool hold_look(struct hold *hold, const struct hold_setup *setup, double share, uint64_t now_us,
               struct bridge_request *request);

/* A run that is refused, or that somebody else has ended, is over. */
void hold_answered(struct hold *hold, bool is_granted);

/* Returns the time until the next hold is due; UINT32_MAX: there is no run. */
uint32_t hold_wake_us(const struct hold *hold, const struct hold_setup *setup, uint64_t now_us);

#endif
