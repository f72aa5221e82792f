/* tone.h: sounds computed frame by frame, so that nothing need be recorded. How they sound is a
 * judgement, no source. Pure. */
#ifndef EFFECTS_SOUND_TONE_H
#define EFFECTS_SOUND_TONE_H

#include "effects/sound/setup.h"

#include <stdbool.h>
#include <stdint.h>

enum { SOUND_RATE = 48000 }; /* frames in a second */

/* The horn's chord and the bell's prime, Hz. */
enum { TONE_HORN_NOTES = 3, TONE_BELL_HZ = 620 };
extern const double tone_horn_hz[TONE_HORN_NOTES];

/* One sound under way; all zero is its beginning. */
struct tone {
    double at_s;                   /* since its beginning */
    double phase[TONE_HORN_NOTES]; /* in turns, 0..1 */
    uint32_t noise;
    float low; /* of the noise */
};

/* Returns the next frame, -1..1. `pitch`: 1 is as usual. */
float tone_next(struct tone *tone, enum sound_kind kind, double pitch);

/* Returns whether it has died away by itself. */
bool tone_is_over(const struct tone *tone, enum sound_kind kind);

#endif
