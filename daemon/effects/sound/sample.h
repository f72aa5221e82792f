/* sample.h: sound files in memory: WAV, FLAC, Ogg Vorbis and whatever else libsndfile reads. */
#ifndef EFFECTS_SOUND_SAMPLE_H
#define EFFECTS_SOUND_SAMPLE_H

#include "base/error.h"
#include "effects/sound/mixer.h"

#include <stdbool.h>

enum { SAMPLE_SECONDS_MAX = 60 };

/* Reads a file whole; several channels are mixed to one. Returns false and fills `error`. */
bool sample_read(const char *path, struct sample *sample, struct error *error);

/* Frees its frames. */
void sample_free(struct sample *sample);

#endif
