#include "support/io/still_time.h"

#include "base/time_limit.h"

static uint64_t now_us;

struct time_limit __wrap_time_limit_in(uint32_t within_us);
uint32_t __wrap_time_limit_left_us(const struct time_limit *limit);

struct time_limit __wrap_time_limit_in(uint32_t within_us) {
    return (struct time_limit){.at_us = now_us + within_us};
}

uint32_t __wrap_time_limit_left_us(const struct time_limit *limit) {
    return limit->at_us > now_us ? (uint32_t)(limit->at_us - now_us) : 0;
}

void still_time_pass(uint32_t time_us) {
    now_us += time_us;
}

uint64_t still_time_us(void) {
    return now_us;
}
