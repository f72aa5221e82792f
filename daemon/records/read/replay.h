/* replay.h: recorded steps run again through bridge_step(): given the same, it must give the same,
 * to the last bit. */
#ifndef RECORDS_REPLAY_H
#define RECORDS_REPLAY_H

#include "core/bridge.h"
#include "records/codec/step_code.h"
#include "records/store.h"

#include <stdbool.h>
#include <stdint.h>

/* Which steps: of the bridges with this bus (0: of all), in pieces that touch these times. */
struct replay_span {
    unsigned bus;
    uint64_t from_us, to_us;
    int64_t run; /* of this run of the daemon alone; 0: of all */
};

struct replay_difference {
    uint64_t serial; /* of the step; 0: nothing differs */
    uint64_t at_us;
    char what[256];   /* "outputs lift_effort: recorded 0x0p+0, now 0x1p-1" */
    char version[32]; /* of the drawtenderd that recorded it */
};

/* What a core with other members recorded cannot be run again, and is left out. */
struct replay_foreign {
    unsigned runs;    /* of a bridge */
    uint64_t last_us; /* the last of them began then */
    char version[32]; /* and was of this drawtenderd */
};

struct replay_result {
    uint64_t steps;
    unsigned pieces;
    unsigned stretches; /* of pieces that follow one another; each begins with its own state */
    struct replay_difference difference;
    struct replay_foreign foreign;
};

/* Who also wants to see the steps; may be NULL. Called before a step is run. */
struct replay_watcher {
    void *context;
    /* A stretch begins in this state. */
    void (*begin)(void *context, const char *bridge, const struct bridge_setup *setup,
                  const struct bridge_state *state);
    void (*step)(void *context, uint64_t at_us, const struct kept_step *step);
};

/* Runs until the end or the first difference; bytes that make no sense are a difference too.
 * Returns false and fills error->what where the record cannot be read. */
bool replay_run(struct store *store, const struct replay_span *span,
                const struct replay_watcher *watcher, struct replay_result *result,
                struct error *error);

/* Runs one step from `state`, which it moves on; false: outputs or answer differ, in words. */
bool replay_step(const struct bridge_setup *setup, struct bridge_state *state,
                 const struct kept_step *step, char *what, size_t size);

#endif
