#include "clock.h"

#include <math.h>
#include <time.h>

static uint64_t read_us(clockid_t id) {
    struct timespec now;
    clock_gettime(id, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

void clock_start(struct layout_clock *clock, double pace) {
    clock->pace = pace;
    clock->start_us = read_us(CLOCK_MONOTONIC);
    clock->epoch_us = read_us(CLOCK_REALTIME);
}

uint64_t clock_now_us(const struct layout_clock *clock) {
    return (uint64_t)((double)(read_us(CLOCK_MONOTONIC) - clock->start_us) * clock->pace);
}

uint64_t clock_epoch_us(const struct layout_clock *clock) {
    return clock->epoch_us + clock_now_us(clock);
}

struct timeval clock_real(const struct layout_clock *clock, uint32_t layout_us) {
    uint64_t real_us = (uint64_t)ceil(layout_us / clock->pace);
    return (struct timeval){.tv_sec = (time_t)(real_us / 1000000),
                            .tv_usec = (suseconds_t)(real_us % 1000000)};
}
