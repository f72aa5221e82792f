#include "effects/sound/sample.h"

#include <math.h>
#include <sndfile.h>
#include <stdlib.h>

enum { CHANNELS_MAX = 8, PIECE_FRAMES = 1024 };

static bool check(const char *path, const SF_INFO *info, struct error *error) {
    if (info->channels < 1 || info->channels > CHANNELS_MAX) {
        return error_set(error, path, "has %d channels; wanted 1 to %d", info->channels,
                         CHANNELS_MAX);
    }
    if (info->frames < 1) {
        return error_set(error, path, "has no sound in it");
    }
    if (info->samplerate < 1 || info->frames / info->samplerate >= SAMPLE_SECONDS_MAX) {
        return error_set(error, path, "sounds too long; wanted less than %d s", SAMPLE_SECONDS_MAX);
    }
    return true;
}

/* Returns how many frames there really are: a header may promise more. */
static size_t read_frames(SNDFILE *file, const SF_INFO *info, int16_t *frame) {
    float piece[PIECE_FRAMES * CHANNELS_MAX]; /* as shorts, files of floats would be silent */
    size_t frames = 0, most = (size_t)info->frames;
    sf_count_t got = 1;
    while (frames < most && got > 0) {
        size_t wanted = most - frames < PIECE_FRAMES ? most - frames : PIECE_FRAMES;
        got = sf_readf_float(file, piece, (sf_count_t)wanted);
        for (sf_count_t i = 0; i < got; i++) {
            float sum = 0;
            for (int channel = 0; channel < info->channels; channel++) {
                sum += piece[i * info->channels + channel];
            }
            float mean = sum / (float)info->channels;
            frame[frames++] = (int16_t)lrintf(fminf(fmaxf(mean, -1), 1) * 32767);
        }
    }
    return frames;
}

static bool read_open(const char *path, SNDFILE *file, const SF_INFO *info, struct sample *sample,
                      struct error *error) {
    if (!check(path, info, error)) {
        return false;
    }
    int16_t *frame = calloc((size_t)info->frames, sizeof *frame);
    if (frame == NULL) {
        return error_set(error, path, "out of memory for this sound");
    }
    *sample = (struct sample){.frame = frame,
                              .frames = read_frames(file, info, frame),
                              .rate = (unsigned)info->samplerate};
    if (sample->frames == 0) {
        sample_free(sample);
        return error_set(error, path, "has no sound in it");
    }
    return true;
}

bool sample_read(const char *path, struct sample *sample, struct error *error) {
    SF_INFO info = {0};
    SNDFILE *file = sf_open(path, SFM_READ, &info);
    if (file == NULL) {
        return error_set(error, path, "%s", sf_strerror(NULL));
    }
    bool is_read = read_open(path, file, &info, sample, error);
    sf_close(file);
    return is_read;
}

void sample_free(struct sample *sample) {
    free(sample->frame);
    *sample = (struct sample){0};
}
