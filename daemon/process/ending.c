#include "process/ending.h"

#include "base/time_limit.h"
#include "bridge/cycle.h"

#include <stddef.h>

/* A bridge with several links shares its moment out among them. */
enum { MOMENT_US = 200000 };

void ending_begin(struct ending *ending, struct cycle *const cycle[], unsigned bridges) {
    *ending = (struct ending){.bridges = bridges, .cycle = cycle};
    /* All are told to be safe before any is waited for: one that hangs must not keep the others. */
    for (unsigned i = 0; i < bridges; i++) {
        ending->is_safe[i] = cycle[i] != NULL && cycle_safe(cycle[i]);
        ending->is_over[i] = cycle[i] == NULL || ending->is_safe[i];
    }
}

/* An answer before the moment has passed is the last word. Returns what is left of `left_us`. */
static uint32_t settle_one(struct ending *ending, unsigned i, const struct time_limit *limit,
                           uint32_t left_us) {
    uint32_t moment_us = left_us < MOMENT_US ? left_us : MOMENT_US;
    ending->is_safe[i] = cycle_settle(ending->cycle[i], moment_us);
    uint32_t now_left_us = time_limit_left_us(limit);
    ending->is_over[i] = ending->is_safe[i] || left_us - now_left_us < moment_us;
    return now_left_us;
}

void ending_settle(struct ending *ending, void (*meanwhile)(void *context), void *context) {
    struct time_limit limit = time_limit_in(ENDING_WITHIN_US);
    uint32_t left_us = ENDING_WITHIN_US;
    bool is_over = false;
    while (!is_over && left_us > 0) {
        is_over = true;
        for (unsigned i = 0; i < ending->bridges; i++) {
            if (!ending->is_over[i]) {
                left_us = settle_one(ending, i, &limit, left_us);
                is_over = false;
                meanwhile(context);
            }
        }
    }
}
