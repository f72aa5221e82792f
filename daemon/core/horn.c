#include "core/horn.h"

#include "core/timing.h"

#include <string.h>

/* P prolonged, s short; a gap after each. */
static const char *blasts(enum horn_signal signal) {
    switch (signal) {
    case HORN_OPENING:
        return "Ps";
    case HORN_CLOSING:
        return "sssss";
    case HORN_SILENT:
        break;
    }
    return "";
}

/* Even elements are blasts, odd ones the gaps behind them. 0: past the end. */
static uint32_t element_us(const struct bridge_setup *setup, const struct horn_state *horn) {
    const char *sounded = blasts(horn->signal);
    unsigned blast = horn->element / 2;
    if (blast >= strlen(sounded)) {
        return 0;
    }
    if (horn->element % 2 == 1) {
        return setup->blast_gap_us;
    }
    return sounded[blast] == 'P' ? setup->prolonged_blast_us : setup->short_blast_us;
}

void horn_start(const struct bridge_setup *setup, struct horn_state *horn,
                enum horn_signal signal) {
    horn->signal = signal;
    horn->element = 0;
    horn->left_us = element_us(setup, horn);
}

void horn_step(const struct bridge_setup *setup, struct horn_state *horn, uint32_t dt_us) {
    if (horn->signal == HORN_SILENT) {
        return;
    }
    horn->left_us = countdown(horn->left_us, dt_us);
    if (horn->left_us > 0) {
        return;
    }
    horn->element++;
    horn->left_us = element_us(setup, horn);
    if (horn->left_us == 0) {
        horn_start(setup, horn, HORN_SILENT);
    }
}

bool horn_sounds(const struct horn_state *horn) {
    return horn->signal != HORN_SILENT && horn->element % 2 == 0;
}
