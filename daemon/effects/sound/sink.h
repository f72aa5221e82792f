/* sink.h: where frames go: a sound card, or a file. */
#ifndef EFFECTS_SOUND_SINK_H
#define EFFECTS_SOUND_SINK_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct sink_ops {
    /* Frames stand for layout time, from the start without a gap; opened once. false: they are
     * heard as they come, and opened anew after a failure. */
    bool is_by_layout_time;
    /* Returns NULL and fills `error`. */
    void *(*open)(const char *device, struct error *error);
    /* May wait until there is room, half a second at the longest. Returns false and fills `error`:
     * it is of no use any more. */
    bool (*write)(void *sink, const int16_t *frame, size_t frames, struct error *error);
    /* Nothing sounds now: stops until the next write. */
    void (*rest)(void *sink);
    void (*close)(void *sink);
};

/* A PCM of ALSA, by its name. */
extern const struct sink_ops sink_card;

/* A new WAV file: 16 bits, mono. */
extern const struct sink_ops sink_wav;

#endif
