#include "support/effects/hearing.h"

#include <math.h>

enum { RATE = 48000, BLOCK = RATE / 100 };

double hearing_amplitude(const int16_t *frame, size_t frames, double hertz) {
    double turn = 2 * 3.14159265358979323846 * hertz / RATE;
    double one = 0, two = 0;
    for (size_t i = 0; i < frames; i++) {
        double next = frame[i] + 2 * cos(turn) * one - two;
        two = one;
        one = next;
    }
    double power = one * one + two * two - 2 * cos(turn) * one * two;
    return 2 * sqrt(power) / (double)frames;
}

double hearing_pitch(const int16_t *frame, size_t frames, double least, double most, double step) {
    double best = least, strongest = 0;
    for (double hertz = least; hertz <= most; hertz += step) {
        double amplitude = hearing_amplitude(frame, frames, hertz);
        if (amplitude > strongest) {
            strongest = amplitude;
            best = hertz;
        }
    }
    return best;
}

static bool is_loud(const int16_t *frame, double level) {
    double sum = 0;
    for (size_t i = 0; i < BLOCK; i++) {
        sum += (double)frame[i] * frame[i];
    }
    return sqrt(sum / BLOCK) > level;
}

bool hearing_next(const int16_t *frame, size_t frames, double level, unsigned gap_ms, size_t *at,
                  size_t *end) {
    size_t block = *at / BLOCK, blocks = frames / BLOCK;
    while (block < blocks && !is_loud(frame + block * BLOCK, level)) {
        block++;
    }
    *at = block * BLOCK;
    *end = *at;
    for (; block < blocks && block * BLOCK <= *end + (size_t)gap_ms * RATE / 1000; block++) {
        if (is_loud(frame + block * BLOCK, level)) {
            *end = (block + 1) * BLOCK;
        }
    }
    return *end > *at;
}
