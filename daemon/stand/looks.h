/* looks.h: how each lamp of a stand looks, from what is proved of the bridge; and when a flash is
 * lit.
 *
 *   steady        it is so, and that is proved
 *   off           it is proved not so
 *   slow flash    it is on its way: asked for, and not there yet
 *   fast flash    look: a fault, a train where none may be, a span that moves undriven
 *   short blinks  nobody knows: a contact is missing, lost or not believed yet
 *
 * Pure. */
#ifndef STAND_LOOKS_H
#define STAND_LOOKS_H

#include "core/data/setup.h"
#include "core/data/view.h"
#include "stand/setup.h"

#include <stdbool.h>
#include <stdint.h>

enum look { LOOK_OFF = 0, LOOK_STEADY, LOOK_SLOW, LOOK_FAST, LOOK_UNKNOWN };

/* A flash is a row of ticks, all flashes in step: slow 1 s on and 1 s off, fast 250 ms on and off,
 * unknown 250 ms in every 4 s. None is faster than three in a second, which may harm people (W3C,
 * Web Content Accessibility Guidelines 2.1, 2.3.1, from memory). */
enum { LOOKS_TICK_US = 250000, LOOKS_TICKS = 16 };

/* What the stand itself knows. */
struct looks_desk {
    bool may_operate, is_local;
};

/* `setup` is the bridge's. */
enum look looks_of(const struct stand_lamp *lamp, const struct bridge_setup *setup,
                   const struct bridge_view *view, const struct looks_desk *desk);

/* Whether a lamp of this look is lit in this tick, 0..LOOKS_TICKS-1. */
bool looks_is_lit(enum look look, unsigned tick);

/* Returns after how many ticks a lamp of this look changes; 0: it never does. */
unsigned looks_ticks_left(enum look look, unsigned tick);

#endif
