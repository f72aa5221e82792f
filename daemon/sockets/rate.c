#include "sockets/rate.h"

#include "base/time_limit.h"

static const uint64_t second_us = 1000000;

uint64_t rate_wait_us(struct rate *rate) {
    if (rate->count < rate->most || rate->most == 0) {
        return 0;
    }
    uint64_t passed_us = time_limit_clock_us() - rate->began_us;
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
        rate->began_us = time_limit_clock_us();
    }
}
