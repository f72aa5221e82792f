/* heard.h: what is to be heard after a step of a bridge. Pure. */
#ifndef EFFECTS_SOUND_HEARD_H
#define EFFECTS_SOUND_HEARD_H

#include "core/data/view.h"
#include "effects/sound/setup.h"

#include <stdbool.h>
#include <stdint.h>

/* A bit for each voice of the setup. */
struct sound_order {
    uint64_t at_us;          /* layout time since the start; the caller's */
    uint32_t on;             /* what sounds as long as this stands */
    uint32_t begins;         /* what begins to sound once */
    enum horn_signal signal; /* whose blasts by a local rule begin; HORN_SILENT: none */
    float speed;             /* of the lift: 0 at rest, 1 full speed */
};

/* Returns what is to be heard from this step on. */
struct sound_order sound_heard(const struct sound_setup *sound, const struct bridge_setup *bridge,
                               const struct bridge_view *before, const struct bridge_view *after);

/* Returns whether `next` sounds different from what `last` has led to. */
bool sound_is_news(const struct sound_order *last, const struct sound_order *next);

#endif
