/* hearing.h: what is in a stretch of frames: when it is loud, and which frequencies. */
#ifndef SUPPORT_EFFECTS_HEARING_H
#define SUPPORT_EFFECTS_HEARING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Returns the amplitude of a sine of this frequency, in units of the frames (Goertzel, "An
 * algorithm for the evaluation of finite trigonometric series", 1958; formula from memory). */
double hearing_amplitude(const int16_t *frame, size_t frames, double hertz);

/* Returns the strongest of the frequencies from `least` to `most`, in steps. */
double hearing_pitch(const int16_t *frame, size_t frames, double least, double most, double step);

/* Looks for the next stretch from *at on that is louder than `level` (root mean square of 10 ms),
 * with no gap in it longer than `gap_ms`. Returns whether there is one; *at is its first frame,
 * *end the first behind it, both to 10 ms. */
bool hearing_next(const int16_t *frame, size_t frames, double level, unsigned gap_ms, size_t *at,
                  size_t *end);

#endif
