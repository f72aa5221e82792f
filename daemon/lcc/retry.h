/* retry.h: when to try again what failed: after 1 s, then twice as long each time, 30 s at most. */
#ifndef LCC_RETRY_H
#define LCC_RETRY_H

#include <stdint.h>

enum { RETRY_FIRST_S = 1, RETRY_MOST_S = 30 };

/* All zero begins with the first. */
struct retry {
    unsigned last_s;
};

/* Returns how long to wait now. */
unsigned retry_after_s(struct retry *retry);

#endif
