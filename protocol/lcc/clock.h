/* clock.h: a clock of the layout, as its events tell it: Broadcast Time S, 25 Apr 2021. Only the
 * time of day, the rate, and whether it runs; between reports it goes on by itself. Times that come
 * in are microseconds of any clock that does not run backwards. */
#ifndef PROTOCOL_LCC_CLOCK_H
#define PROTOCOL_LCC_CLOCK_H

#include <stdbool.h>
#include <stdint.h>

enum { LCC_CLOCK_DAY_S = 86400, LCC_CLOCK_QUERY = 0xF000 };

struct lcc_clock {
    uint64_t base; /* its events but for their two lowest bytes, which are 0 */
    bool is_known; /* a time has come */
    bool is_stopped;
    int rate_quarters; /* 4: as real time; below 0: backwards; 0: it stands */
    uint32_t day;      /* counted from 0 by midnights that were seen */
    int64_t time_us;   /* of the day, when it was last told */
    uint64_t at_us;    /* when that was */
};

/* One to one, and nothing known. `base` may be any event of the clock. */
void lcc_clock_init(struct lcc_clock *clock, uint64_t base);

/* Takes an event that was reported, or that its producer says holds; both mean the same (S).
 * Returns whether the clock is another now. */
bool lcc_clock_take(struct lcc_clock *clock, uint64_t event, uint64_t now_us);

/* Quarters at which it runs: 0 while it is stopped. */
int lcc_clock_rate(const struct lcc_clock *clock);

/* Of the day, microseconds; over midnight it may be a day more or less. */
int64_t lcc_clock_time_us(const struct lcc_clock *clock, uint64_t now_us);

#endif
