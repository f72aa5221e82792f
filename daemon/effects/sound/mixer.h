/* mixer.h: from orders to frames: mono, 16 bits, 48 kHz. Pure: the same orders between the same
 * frames give the same frames. */
#ifndef EFFECTS_SOUND_MIXER_H
#define EFFECTS_SOUND_MIXER_H

#include "effects/sound/heard.h"
#include "effects/sound/setup.h"
#include "effects/sound/tone.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A sound file in memory: mono. */
struct sample {
    int16_t *frame;
    size_t frames;
    unsigned rate;
};

struct mixer_voice {
    const struct sample *sample; /* NULL: computed */
    bool is_wanted;              /* by the last order */
    bool is_on;                  /* false: it goes on only until it has faded out */
    float level;                 /* 0..1, of its fade */
    const char *blasts;          /* of a local rule, those still to come; NULL: none run */
    bool is_blast;               /* one sounds; false: a gap */
    uint64_t blast_left;         /* of that, frames */
    double place;                /* in the sample, frames */
    struct tone tone;
};

struct mixer {
    const struct sound_setup *setup;
    float speed, wanted_speed; /* of the lift; the former follows smoothly */
    struct mixer_voice voice[SOUND_VOICES_MAX];
};

/* `setup` must outlive the mixer. All voices are computed until their samples are set. */
void mixer_init(struct mixer *mixer, const struct sound_setup *setup);

/* Lets a voice sound like this sample from its next beginning on; the sample must outlive the
 * mixer. */
void mixer_set_sample(struct mixer *mixer, unsigned voice, const struct sample *sample);

/* From the next frame on. */
void mixer_take(struct mixer *mixer, const struct sound_order *order);

/* Returns whether anything sounds, if only as it fades out. */
bool mixer_sounds(const struct mixer *mixer);

void mixer_render(struct mixer *mixer, int16_t *frame, size_t frames);

#endif
