/* rate.h: so many a second, counted in seconds that begin with the first. In real time: a
 * flood is not slower because the layout runs at a faster pace. */
#ifndef SOCKETS_RATE_H
#define SOCKETS_RATE_H

#include <stdint.h>

/* All zero but `most`, which may be zero too: no limit. */
struct rate {
    unsigned most;
    unsigned count;
    uint64_t began_us;
};

/* How long one more has to wait; 0: it may come. */
uint64_t rate_wait_us(struct rate *rate);

/* One more came. */
void rate_count(struct rate *rate);

#endif
