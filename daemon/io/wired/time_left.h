/* time_left.h: how long until something that began is due. Pure. */
#ifndef IO_TIME_LEFT_H
#define IO_TIME_LEFT_H

#include <stdint.h>

/* Of `limit_us` from `since_us` on; 0 when it is over. `now_us` is not before `since_us`. */
static inline uint32_t time_left_us(uint64_t since_us, uint32_t limit_us, uint64_t now_us) {
    uint64_t past_us = now_us - since_us;
    return past_us < limit_us ? limit_us - (uint32_t)past_us : 0;
}

#endif
