/* A sound card by ALSA. */
#include "effects/sound/sink.h"
#include "effects/sound/tone.h"

#include <alsa/asoundlib.h>

/* What is written is heard so much later: together with a period of rendering less than 50 ms. */
enum { LATENCY_US = 32000, WAIT_MS = 500 };

/* The library would print to standard error; what matters is returned, too. */
static void say_nothing(const char *file, int line, const char *function, int why,
                        const char *format, ...) {
    (void)file;
    (void)line;
    (void)function;
    (void)why;
    (void)format;
}

static void *card_open(const char *device, struct error *error) {
    snd_pcm_t *pcm;
    snd_lib_error_set_handler(say_nothing);
    int why = snd_pcm_open(&pcm, device, SND_PCM_STREAM_PLAYBACK, SND_PCM_NONBLOCK);
    if (why < 0) {
        error_set(error, device, "%s", snd_strerror(why));
        return NULL;
    }
    why = snd_pcm_set_params(pcm, SND_PCM_FORMAT_S16, SND_PCM_ACCESS_RW_INTERLEAVED, 1, SOUND_RATE,
                             1, LATENCY_US);
    if (why < 0) {
        error_set(error, device, "does not play 16 bits at 48 kHz: %s", snd_strerror(why));
        snd_pcm_close(pcm);
        return NULL;
    }
    return pcm;
}

/* Returns the frames taken, 0 after a gap that has been mended, or an error. */
static snd_pcm_sframes_t write_some(snd_pcm_t *pcm, const int16_t *frame, size_t frames) {
    snd_pcm_sframes_t taken = snd_pcm_writei(pcm, frame, frames);
    if (taken == -EAGAIN) {
        int ready = snd_pcm_wait(pcm, WAIT_MS);
        return ready == 0 ? -ETIMEDOUT : ready < 0 ? snd_pcm_recover(pcm, ready, 1) : 0;
    }
    return taken < 0 ? snd_pcm_recover(pcm, (int)taken, 1) : taken;
}

static bool card_write(void *sink, const int16_t *frame, size_t frames, struct error *error) {
    enum { TRIES = 8 }; /* a card that only ever recovers is broken */
    for (unsigned tries = 0; frames > 0 && tries < TRIES; tries++) {
        snd_pcm_sframes_t taken = write_some(sink, frame, frames);
        if (taken < 0) {
            return error_set(error, snd_pcm_name(sink), "%s", snd_strerror((int)taken));
        }
        frame += taken;
        frames -= (size_t)taken;
    }
    return frames == 0 || error_set(error, snd_pcm_name(sink), "takes no more frames");
}

/* Only silence is left in it. */
static void card_rest(void *sink) {
    snd_pcm_drop(sink);
    snd_pcm_prepare(sink);
}

static void card_close(void *sink) {
    snd_pcm_close(sink);
}

const struct sink_ops sink_card = {
    .open = card_open, .write = card_write, .rest = card_rest, .close = card_close};
