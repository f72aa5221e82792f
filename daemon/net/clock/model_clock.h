/* model_clock.h: the fast clock of the model world (device group TIME).
 * Pure: layout times come in as arguments, in microseconds. `fx` model seconds pass in `fy` layout
 * seconds; `fx` 0: the clock stands. */
#ifndef NET_MODEL_CLOCK_H
#define NET_MODEL_CLOCK_H

#include <stdbool.h>
#include <stdint.h>

struct model_time {
    uint32_t day; /* counted on from 0; set to SRCP_DAY_MAX at most */
    uint32_t hour, minute, second;
};

struct model_clock {
    bool is_running;
    uint32_t fx, fy;
    uint64_t set_layout_us; /* when it was last set, and to what */
    uint64_t set_model_us;
};

/* Starts the clock at day 0, 0:00:00, or changes the ratio of a running one, which then goes on
 * from where it is. fx, fy: 1 to SRCP_TIME_RATE_MAX. */
void model_clock_start(struct model_clock *clock, uint64_t now_us, uint32_t fx, uint32_t fy);
void model_clock_stop(struct model_clock *clock);

/* Sets a running clock. */
void model_clock_set(struct model_clock *clock, uint64_t now_us, const struct model_time *time);

/* It follows another: goes on from there, at this ratio. */
void model_clock_follow(struct model_clock *clock, uint64_t now_us, uint64_t model_us, uint32_t fx,
                        uint32_t fy);

/* The rest ask a running clock. */
struct model_time model_clock_read(const struct model_clock *clock, uint64_t now_us);
bool model_clock_is_past(const struct model_clock *clock, uint64_t now_us,
                         const struct model_time *time);

/* The layout time at which the clock reaches `time`, or the next whole minute. MODEL_CLOCK_NEVER
 * for one that is beyond counting. */
#define MODEL_CLOCK_NEVER (UINT64_MAX / 2)

uint64_t model_clock_when(const struct model_clock *clock, const struct model_time *time);
uint64_t model_clock_next_minute(const struct model_clock *clock, uint64_t now_us);

#endif
