/* clock.h: layout time: real time, run faster by a pace factor.
 *
 * On a paced clock each bridge sets how far layout time may run before its next step. If the
 * machine is late, layout time waits for it, so that a hurried simulation is never a coarser one.
 * At pace 1 layout time is real time, whatever anybody sets. */
#ifndef DAEMON_CLOCK_H
#define DAEMON_CLOCK_H

#include <stdint.h>
#include <sys/time.h>

enum { CLOCK_LIMITS_MAX = 8 };

struct layout_clock {
    double pace;                         /* layout seconds in a real second; 1 and up */
    uint64_t start_us;                   /* monotonic clock at the start */
    uint64_t epoch_us;                   /* Unix time at the start */
    uint64_t waited_us;                  /* layout time given up so far, waiting for late bridges */
    uint64_t limit_us[CLOCK_LIMITS_MAX]; /* one for each bridge */
};

/* `pace` from 1 up. No limits are set. */
void clock_start(struct layout_clock *clock, double pace);

/* Layout microseconds since the start; never backwards. */
uint64_t clock_now_us(struct layout_clock *clock);

/* Layout time may not pass `due_us` (and a little) before this bridge sets its next limit;
 * UINT64_MAX: it may. `bridge` below CLOCK_LIMITS_MAX. */
void clock_set_limit(struct layout_clock *clock, unsigned bridge, uint64_t due_us);

/* The same as layout time of day: Unix time at the start, and on from there at the pace. */
uint64_t clock_epoch_us(struct layout_clock *clock);

/* The real time that `layout_us` takes, rounded up to whole microseconds. */
struct timeval clock_real(const struct layout_clock *clock, uint32_t layout_us);

#endif
