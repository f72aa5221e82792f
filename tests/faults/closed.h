/* closed.h: the core and the simulated world in closed loop, in time of their own, judged in every
 * step twice: by what the inputs told (support/core/invariants.h), and by how the world really was.
 * All of it is one plain struct: a copy of it is another world that goes on from there. */
#ifndef FAULTS_CLOSED_H
#define FAULTS_CLOSED_H

#include "core/bridge.h"
#include "io/simulated/world/sim.h"
#include "support/core/invariants.h"

#include <stdbool.h>
#include <stdint.h>

/* What may really be wrong in the world though all inputs allow it. */
enum untruth {
    UNTRUE_WRECK = 0, /* a train is on the span while that is not down */
    UNTRUE_POWER,     /* stop or span section powered by the bridge, the span not down and locked */
    UNTRUE_SIGNAL,    /* proceed shown by the bridge, the span not down and locked */
    UNTRUE_LIFT_LOCK, /* the lift driven against the lock bar */
    UNTRUE_LIFT_TRAIN, /* the lift driven with a train on a stop or span section */
    UNTRUTHS
};

struct closed {
    struct bridge_setup bridge;
    struct sim sim;
    struct bridge_state state;
    struct bridge_inputs inputs;
    struct bridge_outputs outputs;
    struct seen judge;
    uint64_t now_us;
    uint64_t phase_since_us;
    bool has_phase_changed; /* in the last step: step again at once */
    const char *broken;     /* the first invariant broken, NULL: none */
    const char *hung;       /* the first phase that outlasted its longest time, NULL: none */
    uint32_t untrue;        /* a bit for each untruth that lasted */
    uint64_t untrue_us[UNTRUTHS];
};

/* The Kettle Narrows leaf of support/io/sim_world.h, lifted a seventh as far, so that an opening is
 * short; a holding brake, every contact, detector and feedback, and one train that stays away until
 * it is told to come. */
void closed_begin(struct closed *closed, uint32_t debounce_us);

/* The same with another bridge on it, which must be sound: what closed_bridge() gives, changed. */
struct bridge_setup closed_bridge(uint32_t debounce_us);
void closed_begin_with(struct closed *closed, const struct bridge_setup *bridge);

/* One step of the core at once, with a request. */
enum bridge_answer closed_ask(struct closed *closed, enum bridge_request_kind kind);

/* Waits as long as core and world allow, `most_us` at most, and steps; at once after a phase has
 * changed. */
void closed_go(struct closed *closed, uint64_t most_us);

/* Where the bridge waits for somebody's word: looks, and gives it if no train is really there.
 * Returns whether it was taken. */
bool closed_gives_word(struct closed *closed);
bool closed_is_train_on_bridge(const struct closed *closed);

/* With somebody at hand to give that word, until the phase is reached, in the very step that begins
 * it, or `limit_us` is over. */
bool closed_run_to(struct closed *closed, enum bridge_phase phase, uint64_t limit_us);
void closed_run_for(struct closed *closed, uint64_t time_us);

/* A run-time command of the simulation; asserts that it is one. */
void closed_tell(struct closed *closed, const char *words);

/* The daemon dies, its outputs fall to safe (S7), and a new one starts after `dead_us`. */
void closed_restart(struct closed *closed, uint64_t dead_us);

/* A place to stay: the goal is reached, or somebody must ask, mend or look. */
bool closed_is_at_rest(const struct closed *closed);

const char *untruth_text(enum untruth untruth);

#endif
