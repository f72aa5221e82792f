/* moves.h: everything that can happen to a bridge in one step, reduced to one representative of
 * each kind that the core can tell apart. README.md says why the reduction is sound; raw.h tries
 * what it leaves out. Moves of a node are numbered, so that the explorer and Spin walk the same. */
#ifndef PROVE_MOVES_H
#define PROVE_MOVES_H

#include "core/bridge.h"
#include "prove/moves/choices.h"
#include "prove/scenes/node.h"
#include "prove/scenes/scene.h"

#include <stdbool.h>
#include <stdint.h>

/* Which countdowns end in this step; the others go on. Those of a watch and of the judge's clock
 * for the same thing end together. */
struct endings {
    bool phase_limit, warning, horn, push, jog, throttle, word, bar;
    bool signal_proof, power_proof; /* those that are missing in this step */
    bool power_told_off;            /* of all sections: they are told so together */
    bool told_stop[BRIDGE_TRACKS_MAX][TRACK_ENDS];
    bool run_out[BRIDGE_TRACKS_MAX];
    bool approach_lock[BRIDGE_TRACKS_MAX][TRACK_ENDS];
    bool approach_clear[BRIDGE_TRACKS_MAX][TRACK_ENDS];
    bool stop_clear[BRIDGE_TRACKS_MAX][TRACK_ENDS];
    bool span_clear[BRIDGE_TRACKS_MAX];
};

struct move {
    bool is_restart; /* and nothing else */
    struct bridge_inputs inputs;
    struct bridge_request request;
    uint32_t dt_us;
    struct endings ends;
    double estimate_frac; /* where a bridge without a sensor believes its span, before the step */
    bool is_power_wanted; /* by what clients asked for before */
    bool is_proceed_wanted[BRIDGE_TRACKS_MAX][TRACK_ENDS];
};

/* All moves of one node: the parts one after another, and the restart as the last. */
struct moves {
    const struct scene *scene;
    struct node node;
    struct move quiet; /* the move that the choices change */
    struct product part[PARTS];
    unsigned count;
};

void moves_of(const struct scene *scene, const struct packed *packed, struct moves *moves);

/* `index` below moves->count. */
void moves_at(const struct moves *moves, unsigned index, struct move *move);

/* Puts the move's choices into its node: ready for bridge_step(). */
void moves_prepare(const struct scene *scene, const struct move *move, struct node *node);

#endif
