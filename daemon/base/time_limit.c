#include "base/time_limit.h"

#include <time.h>

uint64_t time_limit_clock_us(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

struct time_limit time_limit_in(uint32_t within_us) {
    return (struct time_limit){.at_us = time_limit_clock_us() + within_us};
}

uint32_t time_limit_left_us(const struct time_limit *limit) {
    uint64_t now_us = time_limit_clock_us();
    return now_us < limit->at_us ? (uint32_t)(limit->at_us - now_us) : 0;
}
