#include "effects/sound/tone.h"

#include <math.h>
#include <stddef.h>

static const double TURN = 6.283185307179586;

const double tone_horn_hz[TONE_HORN_NOTES] = {277.2, 349.2, 415.3};

static float sine(double turns) {
    return sinf((float)(TURN * (turns - floor(turns))));
}

/* A phase that goes on smoothly while the frequency changes. Returns it, in turns. */
static double go_on(double *phase, double hertz) {
    *phase += hertz / SOUND_RATE;
    *phase -= floor(*phase);
    return *phase;
}

/* The first `count` harmonics, each weaker as its number is higher. */
static float harmonics(double turns, unsigned count) {
    float sum = 0, most = 0;
    for (unsigned n = 1; n <= count; n++) {
        sum += sine(turns * n) / (float)n;
        most += 1 / (float)n;
    }
    return sum / most;
}

/* White, -1..1: a linear congruential generator (constants as in ISO C's example of rand()). */
static float noise(struct tone *tone) {
    tone->noise = tone->noise * 1103515245U + 12345U;
    return (float)(tone->noise >> 8 & 0xffffU) / 32768.0F - 1;
}

static float low_noise(struct tone *tone, double hertz) {
    float share = (float)(1 - exp(-TURN * hertz / SOUND_RATE));
    tone->low += share * (noise(tone) - tone->low);
    return tone->low;
}

static float horn(struct tone *tone, double pitch) {
    float sum = 0;
    for (unsigned i = 0; i < TONE_HORN_NOTES; i++) {
        sum += harmonics(go_on(&tone->phase[i], tone_horn_hz[i] * pitch), 4);
    }
    return sum / TONE_HORN_NOTES;
}

/* It wails up and down once in four seconds. */
static float siren(struct tone *tone, double pitch) {
    double hertz = 450 + 175 * (1 - (double)sine(tone->at_s / 4 + 0.25));
    return harmonics(go_on(&tone->phase[0], hertz * pitch), 3);
}

/* Hum, prime, tierce, quint and nominal of a bell, and how fast they die away (proportions: common
 * practice, no source). */
static float bell(const struct tone *tone, double pitch) {
    static const double BETWEEN_S = 0.6;
    static const struct {
        double ratio, amplitude, per_s;
    } partials[] = {{0.5, 0.2, 2}, {1, 0.3, 4}, {1.2, 0.2, 5}, {1.5, 0.1, 7}, {2, 0.2, 8}};
    double since_s = fmod(tone->at_s, BETWEEN_S);
    double sum = 0;
    for (size_t i = 0; i < sizeof partials / sizeof partials[0]; i++) {
        sum += partials[i].amplitude * exp(-partials[i].per_s * since_s) *
               (double)sine(TONE_BELL_HZ * partials[i].ratio * pitch * since_s);
    }
    return (float)sum;
}

static float motor(struct tone *tone, double pitch) {
    float hum = harmonics(go_on(&tone->phase[0], 150 * pitch), 6);
    return 0.7F * hum + 0.3F * low_noise(tone, 2500 * pitch);
}

/* The teeth as they mesh, louder once in each turn of a pinion of 16. */
static float gears(struct tone *tone, double pitch) {
    float teeth = harmonics(go_on(&tone->phase[0], 640 * pitch), 3);
    float turn = sine(go_on(&tone->phase[1], 40 * pitch));
    return teeth * (0.7F + 0.3F * turn);
}

static float seating(struct tone *tone, double pitch) {
    double fall = exp(-30 * tone->at_s);
    float body = sine(go_on(&tone->phase[0], (65 + 80 * fall) * pitch));
    float knock = low_noise(tone, 1800);
    return 0.7F * body * (float)exp(-8 * tone->at_s) + 0.3F * knock * (float)exp(-50 * tone->at_s);
}

static float water(struct tone *tone, double pitch) {
    float swell = 0.6F + 0.25F * sine(tone->at_s / 5.3) + 0.15F * sine(tone->at_s / 3.1);
    return low_noise(tone, 700 * pitch) * swell;
}

/* Whether a gull cries in this stretch of time: the same each time, without a visible order. */
static bool is_crying(unsigned stretch) {
    return (stretch * 2654435761U >> 28) < 5;
}

static float gulls(struct tone *tone, double pitch) {
    static const double STRETCH_S = 1.3, CRY_S = 0.4;
    unsigned stretch = (unsigned)(tone->at_s / STRETCH_S);
    double within_s = fmod(tone->at_s, STRETCH_S);
    double part = fmod(within_s, CRY_S) / CRY_S;
    float bow = sine(part / 2); /* 0, 1, 0 */
    float cry = harmonics(go_on(&tone->phase[0], (1300 + 800 * (double)bow) * pitch), 2);
    return is_crying(stretch) && within_s < 3 * CRY_S ? cry * bow : 0;
}

static float frame_of(struct tone *tone, enum sound_kind kind, double pitch) {
    switch (kind) {
    case SOUND_HORN:
        return horn(tone, pitch);
    case SOUND_SIREN:
        return siren(tone, pitch);
    case SOUND_BELL:
        return bell(tone, pitch);
    case SOUND_MOTOR:
        return motor(tone, pitch);
    case SOUND_GEARS:
        return gears(tone, pitch);
    case SOUND_SEATING:
        return seating(tone, pitch);
    case SOUND_WATER:
        return water(tone, pitch);
    case SOUND_GULLS:
        return gulls(tone, pitch);
    case SOUND_KINDS:
        break;
    }
    return 0;
}

float tone_next(struct tone *tone, enum sound_kind kind, double pitch) {
    float frame = frame_of(tone, kind, pitch);
    tone->at_s += 1.0 / SOUND_RATE;
    return frame;
}

bool tone_is_over(const struct tone *tone, enum sound_kind kind) {
    return kind == SOUND_SEATING && tone->at_s >= 0.8;
}
