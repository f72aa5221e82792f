/* deadline.h: a moment on the monotonic clock, until which something may take.
 * Real time, not layout time: a limit is about the patience of whoever runs the tool. */
#ifndef TOOLS_DRAWTENDER_DEADLINE_H
#define TOOLS_DRAWTENDER_DEADLINE_H

#include <stdbool.h>
#include <stdint.h>

/* All zero: never. */
struct deadline {
    bool is_set;
    uint64_t at_ms;
};

/* Milliseconds of the monotonic clock. */
uint64_t deadline_now_ms(void);

struct deadline deadline_in(uint32_t ms);
bool deadline_is_past(struct deadline deadline);

/* The time left as poll() wants it: -1 for never, 0 once past. */
int deadline_poll_ms(struct deadline deadline);

#endif
