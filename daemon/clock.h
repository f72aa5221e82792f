/* clock.h: layout time: real time, run faster by a pace factor. */
#ifndef DAEMON_CLOCK_H
#define DAEMON_CLOCK_H

#include <stdint.h>
#include <sys/time.h>

struct layout_clock {
    double pace;       /* layout seconds in a real second; 1 and up */
    uint64_t start_us; /* monotonic clock at the start */
    uint64_t epoch_us; /* Unix time at the start */
};

void clock_start(struct layout_clock *clock, double pace);

/* Layout microseconds since the start; never backwards. */
uint64_t clock_now_us(const struct layout_clock *clock);

/* The same as layout time of day: Unix time at the start, and on from there at the pace. */
uint64_t clock_epoch_us(const struct layout_clock *clock);

/* The real time that `layout_us` takes, rounded up to whole microseconds. */
struct timeval clock_real(const struct layout_clock *clock, uint32_t layout_us);

#endif
