#include "sockets/rate.h"

#include <time.h>

static const uint64_t second_us = 1000000;

static uint64_t now_us(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * second_us + (uint64_t)now.tv_nsec / 1000;
}

uint64_t rate_wait_us(struct rate *rate) {
    if (rate->count < rate->most || rate->most == 0) {
        return 0;
    }
    uint64_t passed_us = now_us() - rate->began_us;
    if (passed_us < second_us) {
        return second_us - passed_us;
    }
    rate->count = 0;
    return 0;
}

void rate_count(struct rate *rate) {
    if (rate->most == 0) {
        return;
    }
    if (rate->count++ == 0) {
        rate->began_us = now_us();
    }
}
