/* player.h: a thread that plays what a bridge lets be heard. The loop never waits for it: an order
 * that finds no room is lost and counted, and the next look makes good what of it still stands. A
 * missing card or file costs sounds, never time, and is a warning. */
#ifndef EFFECTS_SOUND_PLAYER_H
#define EFFECTS_SOUND_PLAYER_H

#include "base/error.h"
#include "core/data/view.h"
#include "effects/sound/setup.h"
#include "effects/sound/sink.h"

#include <stdint.h>

struct player;

struct player_setup {
    const char *name; /* of the bridge, for the log; must outlive the player */
    const struct sound_setup *sound;
    const struct bridge_setup *bridge;
    const struct sink_ops *sink;
    const char *device; /* of the sink */
    unsigned room;      /* of the ring, orders: a power of two; 0: as usual */
    unsigned retry_ms;  /* a card is opened again at the earliest after this; 0: as usual */
};

/* Copies the setup. Returns NULL and fills `error`: out of memory, or no thread. */
struct player *player_new(const struct player_setup *setup, struct error *error);

/* After each step; `at_us`: layout time since the start. NULL is taken. */
void player_notify(struct player *player, uint64_t at_us, const struct bridge_view *before,
                   const struct bridge_view *after);

/* For tests: returns how many orders were lost so far. */
uint64_t player_lost(const struct player *player);

/* Ends all sounds; a file is finished. NULL is taken. */
void player_free(struct player *player);

#endif
