/* time_limit.h: a limit of real time, for the few places that wait without the loop. */
#ifndef BASE_TIME_LIMIT_H
#define BASE_TIME_LIMIT_H

#include <stdint.h>

struct time_limit {
    uint64_t at_us; /* by the monotonic clock */
};

/* Returns the monotonic clock, which limits go by. */
uint64_t time_limit_clock_us(void);

/* Returns the limit that is `within_us` from now. */
struct time_limit time_limit_in(uint32_t within_us);

/* Returns the time until it; 0 when it has passed. */
uint32_t time_limit_left_us(const struct time_limit *limit);

#endif
