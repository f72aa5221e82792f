/* setup.h: what a bridge lets be heard, as configured. */
#ifndef EFFECTS_SOUND_SETUP_H
#define EFFECTS_SOUND_SETUP_H

#include "effects/condition.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    SOUND_VOICES_MAX = 16,
    SOUND_DEVICE_SIZE = 96,
    SOUND_FILE_SIZE = 256,
    SOUND_WHEN_SIZE = 128,
    SOUND_BLASTS_SIZE = 16
};

/* X(identifier, word, when it is heard, only once each time that begins, its pitch at rest as a
 * share of that at full speed, fade in and fade out in microseconds). What is heard once begins as
 * it is. */
#define SOUND_KIND_LIST(X)                                                                         \
    X(HORN, "horn", CONDITION_HORN, false, 1, 15000, 80000)                                        \
    X(SIREN, "siren", CONDITION_WARNING, false, 1, 200000, 400000)                                 \
    X(BELL, "bell", CONDITION_MOVING, false, 1, 5000, 600000)                                      \
    X(MOTOR, "motor", CONDITION_MOVING, false, 0.4, 150000, 250000)                                \
    X(GEARS, "gears", CONDITION_MOVING, false, 0.3, 150000, 250000)                                \
    X(SEATING, "seating", CONDITION_SEATED, true, 1, 0, 30000)                                     \
    X(WATER, "water", CONDITION_ALWAYS, false, 1, 2000000, 2000000)                                \
    X(GULLS, "gulls", CONDITION_ALWAYS, false, 1, 2000000, 2000000)

#define SOUND_IDENTIFIER(id, ...) SOUND_##id,
enum sound_kind { SOUND_KIND_LIST(SOUND_IDENTIFIER) SOUND_KINDS };
#undef SOUND_IDENTIFIER

struct sound_voice {
    enum sound_kind kind;       /* how it sounds where no file can be read */
    char file[SOUND_FILE_SIZE]; /* empty: computed */
    struct condition_wanted when;
    bool is_once;      /* each time that begins; false: as long as it holds */
    bool is_looped;    /* a file that ends begins again while it is wanted */
    double volume;     /* 0..1 */
    double rest_pitch; /* its pitch at rest; at full speed 1 */
    uint32_t fade_in_us, fade_out_us;
};

struct sound_setup {
    bool is_there;
    char device[SOUND_DEVICE_SIZE]; /* ALSA's name of a PCM */
    double volume;                  /* 0..1, of all */
    /* A local rule's blasts, by enum horn_signal: P prolonged, s short; empty: as the horn's output
     * sounds them. */
    char blasts[HORN_CLOSING + 1][SOUND_BLASTS_SIZE];
    uint32_t prolonged_us, short_us, gap_us;
    unsigned voices;
    struct sound_voice voice[SOUND_VOICES_MAX];
};

#endif
