/* core_walk.h: random walks of a bridge, the same for the same seed, judged in every step. */
#ifndef SUPPORT_CORE_WALK_H
#define SUPPORT_CORE_WALK_H

#include "core/bridge.h"
#include "support/core/invariants.h"

enum walk_kind {
    WALK_WILD,   /* every input at random in every step */
    WALK_LIKELY, /* a world that mostly obeys, with trains, jumps, losses and lies now and then */
};

struct walk {
    enum walk_kind kind;
    uint32_t random;
    struct bridge_setup setup;
    struct bridge_state state;
    struct bridge_inputs inputs;
    struct bridge_outputs outputs;
    struct seen judge;
    double span_frac;
    double lock_frac;
    bool is_train[BRIDGE_TRACKS_MAX][TRACK_ENDS][2]; /* on approach, stop section */
    bool is_train_on_span[BRIDGE_TRACKS_MAX];
    unsigned steps_in[BRIDGE_PHASES]; /* what the walk has seen */
    unsigned steps_driven;
    unsigned steps_jogged;
    unsigned steps_withdrawing;
    unsigned steps_locking;
    unsigned steps_at_proceed;
    unsigned words; /* granted: that the span is seen clear */
    unsigned gaps;  /* faults for a look that came too late */
};

/* `seed` must not be 0. The setup must be sound. */
void walk_start(struct walk *walk, enum walk_kind kind, const struct bridge_setup *setup,
                uint32_t seed);

/* One step with inputs, time and request of its own choice. Returns what invariants_broken() says.
 */
const char *walk_step(struct walk *walk);

/* A step with the inputs as they are and no request. */
const char *walk_rest(struct walk *walk, uint32_t dt_us);

/* A step without trains or faults: span and bar go where they are driven, or where a hand moves
 * them that wants the span to go to `direction`, 1 up, -1 down, 0 rest; feedbacks may be late. */
const char *walk_in_order(struct walk *walk, enum bridge_request_kind kind, int direction,
                          uint32_t dt_us, enum bridge_answer *answer);

/* The daemon dies and starts again; the world stays as it is. */
void walk_restart(struct walk *walk);

/* 0 to `below` - 1. */
uint32_t walk_random(struct walk *walk, uint32_t below);

/* A sound setup with each optional part, count and time at random, each end of each track for
 * itself; one in five is a gate. */
struct bridge_setup walk_random_setup(struct walk *walk);

#endif
