/* A WAV file: what would have been heard. */
#include "effects/sound/sink.h"
#include "effects/sound/tone.h"

#include <errno.h>
#include <fcntl.h>
#include <sndfile.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { SECONDS_MAX = 900 };

struct wav {
    SNDFILE *file;
    size_t frames;
    char path[256];
};

/* A file that is there may be somebody's recording. */
static SNDFILE *create(const char *path, struct error *error) {
    SF_INFO info = {
        .samplerate = SOUND_RATE, .channels = 1, .format = SF_FORMAT_WAV | SF_FORMAT_PCM_16};
    int descriptor = open(path, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (descriptor < 0) {
        error_set(error, path, "%s", strerror(errno));
        return NULL;
    }
    SNDFILE *file = sf_open_fd(descriptor, SFM_WRITE, &info, SF_TRUE);
    if (file == NULL) {
        error_set(error, path, "%s", sf_strerror(NULL));
        close(descriptor);
    }
    return file;
}

static void *wav_open(const char *path, struct error *error) {
    struct wav *wav = calloc(1, sizeof *wav);
    if (wav == NULL) {
        error_set(error, path, "out of memory for this file");
        return NULL;
    }
    strncpy(wav->path, path, sizeof wav->path - 1);
    wav->file = create(path, error);
    if (wav->file == NULL) {
        free(wav);
        return NULL;
    }
    return wav;
}

static bool wav_write(void *sink, const int16_t *frame, size_t frames, struct error *error) {
    struct wav *wav = sink;
    wav->frames += frames;
    if (wav->frames > (size_t)SECONDS_MAX * SOUND_RATE) {
        return error_set(error, wav->path, "ends here: it is %d min long", SECONDS_MAX / 60);
    }
    sf_count_t written = sf_writef_short(wav->file, frame, (sf_count_t)frames);
    return written == (sf_count_t)frames ||
           error_set(error, wav->path, "%s", sf_strerror(wav->file));
}

static void wav_rest(void *sink) {
    (void)sink;
}

static void wav_close(void *sink) {
    struct wav *wav = sink;
    sf_close(wav->file);
    free(wav);
}

const struct sink_ops sink_wav = {.is_by_layout_time = true,
                                  .open = wav_open,
                                  .write = wav_write,
                                  .rest = wav_rest,
                                  .close = wav_close};
