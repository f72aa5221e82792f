#include "process/clock.h"

#include <math.h>
#include <time.h>

/* Every timer is a little late; this much is not worth waiting for. */
enum { SLACK_US = 10000 };

static uint64_t read_us(clockid_t id) {
    struct timespec now = {0}; /* past what a 32-bit time_t can tell, the call fails */
    clock_gettime(id, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

void clock_start(struct layout_clock *clock, double pace) {
    *clock = (struct layout_clock){
        .pace = pace, .start_us = read_us(CLOCK_MONOTONIC), .epoch_us = read_us(CLOCK_REALTIME)};
    for (unsigned i = 0; i < CLOCK_LIMITS_MAX; i++) {
        clock->limit_us[i] = UINT64_MAX;
    }
}

uint64_t clock_now_us(struct layout_clock *clock) {
    double real_us = (double)(read_us(CLOCK_MONOTONIC) - clock->start_us);
    uint64_t now_us = (uint64_t)(real_us * clock->pace) - clock->waited_us;
    if (clock->pace <= 1) {
        return now_us;
    }
    for (unsigned i = 0; i < CLOCK_LIMITS_MAX; i++) {
        if (now_us > clock->limit_us[i]) {
            clock->waited_us += now_us - clock->limit_us[i];
            now_us = clock->limit_us[i];
        }
    }
    return now_us;
}

void clock_set_limit(struct layout_clock *clock, unsigned bridge, uint64_t due_us) {
    clock->limit_us[bridge] = due_us < UINT64_MAX - SLACK_US ? due_us + SLACK_US : UINT64_MAX;
}

uint64_t clock_epoch_us(struct layout_clock *clock) {
    return clock->epoch_us + clock_now_us(clock);
}

struct timeval clock_real(const struct layout_clock *clock, uint32_t layout_us) {
    uint64_t real_us = (uint64_t)ceil(layout_us / clock->pace);
    return (struct timeval){.tv_sec = (time_t)(real_us / 1000000),
                            .tv_usec = (suseconds_t)(real_us % 1000000)};
}
