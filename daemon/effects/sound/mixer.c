#include "effects/sound/mixer.h"

#include <math.h>
#include <string.h>

void mixer_init(struct mixer *mixer, const struct sound_setup *setup) {
    memset(mixer, 0, sizeof *mixer);
    mixer->setup = setup;
}

void mixer_set_sample(struct mixer *mixer, unsigned voice, const struct sample *sample) {
    mixer->voice[voice].sample = sample;
    mixer->voice[voice].place = 0;
}

static void begin(struct mixer_voice *voice, uint32_t fade_in_us) {
    voice->is_on = true;
    voice->place = 0;
    voice->tone = (struct tone){0};
    if (fade_in_us == 0) {
        voice->level = 1;
    }
}

static bool follows_horn(const struct sound_voice *setup) {
    return (setup->when.all >> CONDITION_HORN & 1) != 0;
}

void mixer_take(struct mixer *mixer, const struct sound_order *order) {
    mixer->wanted_speed = order->speed;
    for (unsigned i = 0; i < mixer->setup->voices; i++) {
        const struct sound_voice *setup = &mixer->setup->voice[i];
        struct mixer_voice *voice = &mixer->voice[i];
        bool is_wanted = (order->on >> i & 1) != 0;
        if ((order->begins >> i & 1) != 0 || (is_wanted && !voice->is_wanted)) {
            begin(voice, setup->fade_in_us);
        } else if (!setup->is_once && !is_wanted && voice->blasts == NULL) {
            voice->is_on = false; /* what is heard once goes on to its end */
        }
        voice->is_wanted = is_wanted;
        if (order->signal != HORN_SILENT && follows_horn(setup)) {
            voice->blasts = mixer->setup->blasts[order->signal];
            voice->is_blast = false;
            voice->blast_left = 0;
        }
    }
}

bool mixer_sounds(const struct mixer *mixer) {
    for (unsigned i = 0; i < mixer->setup->voices; i++) {
        if (mixer->voice[i].is_on || mixer->voice[i].level > 0 || mixer->voice[i].blasts != NULL) {
            return true;
        }
    }
    return false;
}

/* Straight between two frames of the sample. A sample that is over is silent, or begins again. */
static float sample_next(struct mixer_voice *voice, bool is_looped, double pitch) {
    const struct sample *sample = voice->sample;
    size_t here = (size_t)voice->place;
    if (here >= sample->frames) {
        voice->is_on = false;
        voice->level = 0;
        return 0;
    }
    size_t next = here + 1 < sample->frames ? here + 1 : is_looped ? 0 : here;
    float part = (float)(voice->place - (double)here);
    float frame = (float)sample->frame[here] * (1 - part) + (float)sample->frame[next] * part;
    voice->place += pitch * sample->rate / SOUND_RATE;
    if (is_looped) {
        voice->place = fmod(voice->place, (double)sample->frames);
    }
    return frame / 32768;
}

static float tone_frame(struct mixer_voice *voice, enum sound_kind kind, double pitch) {
    if (tone_is_over(&voice->tone, kind)) {
        voice->is_on = false;
        voice->level = 0;
        return 0;
    }
    return tone_next(&voice->tone, kind, pitch);
}

static float toward(float level, bool is_on, const struct sound_voice *setup) {
    float fade_us = (float)(is_on ? setup->fade_in_us : setup->fade_out_us);
    float step = fade_us > 0 ? 1e6F / (fade_us * SOUND_RATE) : 1;
    return is_on ? fminf(level + step, 1) : fmaxf(level - step, 0);
}

static uint64_t frames_of(uint32_t us) {
    return (uint64_t)us * (SOUND_RATE / 1000) / 1000;
}

/* Blasts of a local rule, a gap after each. */
static void blast_on(const struct sound_setup *sound, const struct sound_voice *setup,
                     struct mixer_voice *voice) {
    if (voice->blast_left > 0) {
        voice->blast_left--;
    } else if (voice->is_blast) {
        voice->is_blast = false;
        voice->is_on = false;
        voice->blast_left = frames_of(sound->gap_us);
        voice->blasts++;
    } else if (*voice->blasts == '\0') {
        voice->blasts = NULL;
    } else {
        begin(voice, setup->fade_in_us);
        voice->is_blast = true;
        voice->blast_left =
            frames_of(*voice->blasts == 'P' ? sound->prolonged_us : sound->short_us);
    }
}

static float voice_frame(struct mixer *mixer, unsigned i) {
    const struct sound_voice *setup = &mixer->setup->voice[i];
    struct mixer_voice *voice = &mixer->voice[i];
    if (voice->blasts != NULL) {
        blast_on(mixer->setup, setup, voice);
    }
    if (!voice->is_on && voice->level <= 0) {
        return 0;
    }
    double pitch = setup->rest_pitch + (1 - setup->rest_pitch) * (double)mixer->speed;
    float frame = voice->sample != NULL ? sample_next(voice, setup->is_looped, pitch)
                                        : tone_frame(voice, setup->kind, pitch);
    frame *= voice->level * (float)setup->volume;
    voice->level = toward(voice->level, voice->is_on, setup);
    return frame;
}

void mixer_render(struct mixer *mixer, int16_t *frame, size_t frames) {
    /* Speed comes in steps; heard as steps it would warble. */
    static const float SMOOTHING = 1.0F / (0.05F * SOUND_RATE);
    /* Two voices at full volume fit; more are cut off rather than wrapped. */
    static const float HEADROOM = 0.5F;
    for (size_t n = 0; n < frames; n++) {
        float sum = 0;
        mixer->speed += SMOOTHING * (mixer->wanted_speed - mixer->speed);
        for (unsigned i = 0; i < mixer->setup->voices; i++) {
            sum += voice_frame(mixer, i);
        }
        sum *= HEADROOM * (float)mixer->setup->volume;
        frame[n] = (int16_t)lrintf(fminf(fmaxf(sum, -1), 1) * 32767);
    }
}
