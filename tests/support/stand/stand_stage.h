/* stand_stage.h: a stand of fakes before a bridge that is the core and an ideal world (puppet.h):
 * whatever it asks is judged by S1 to S4 and S9 in every step. Time is the puppet's, so that
 * nothing depends on the machine's speed. */
#ifndef SUPPORT_STAND_STAGE_H
#define SUPPORT_STAND_STAGE_H

#include "stand/stand.h"
#include "support/core/puppet.h"
#include "support/io/fake_evdev.h"
#include "support/io/fake_gpio.h"

struct event_base;

/* Controls of the stage, in their order; contacts on chip 0 make to ground, from line 0 on. */
enum stand_stage_control {
    STAGE_RAISE = 0, /* two contacts: lines 0 and 8, the second opens when the first closes */
    STAGE_LOWER,     /* line 1 */
    STAGE_STOP,      /* line 2 */
    STAGE_MUSHROOM,  /* line 3, closed at rest */
    STAGE_KEY,       /* line 4 */
    STAGE_LOCAL,     /* line 5 */
    STAGE_TEST,      /* line 6 */
    STAGE_CONTACTS,
    STAGE_BOX_RAISE = STAGE_CONTACTS, /* KEY_R of box0 */
    STAGE_BOX_STOP,                   /* KEY_S */
    STAGE_BOX_HORN,                   /* KEY_H */
    STAGE_CONTROLS
};

/* Lamps: chip 1, from line 0 on, and the row at spi0, from place 0 on: LINED, MOVING, OPEN, FAULT.
 */
enum { STAGE_LAMPS = 4 };

struct stand_stage {
    struct event_base *base;
    struct stand_setup setup;
    struct bridge_setup core;
    struct puppet puppet;
    struct stand *stand;
    struct error error;
    int32_t barred_by;
    struct bridge_request asked; /* the last */
    unsigned asks, refusals, bars, turns;
    char why[128]; /* of the last refusal */
    double pace;
    bool has_real_time; /* its clock is the machine's */
};

/* A lined bridge; nothing is pressed, the key is in, remote. Change stage->setup before
 * stand_stage_open() if need be. */
void stand_stage_prepare(struct stand_stage *stage);
void stand_stage_open(struct stand_stage *stage);
void stand_stage_end(struct stand_stage *stage);

/* Closes or opens a contact; time goes on as far as it takes to be believed. */
void stand_stage_put(struct stand_stage *stage, enum stand_stage_control control, bool is_pressed);
void stand_stage_key(struct stand_stage *stage, unsigned key, bool is_pressed);

/* The bridge and the stand go on for so long, in steps of 10 ms. */
void stand_stage_run(struct stand_stage *stage, uint64_t time_us);
/* The same until the phase is reached, which must come. */
void stand_stage_run_to(struct stand_stage *stage, enum bridge_phase phase);

/* How many timers run. */
unsigned stand_stage_timers(const struct stand_stage *stage);

#endif
