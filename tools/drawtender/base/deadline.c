#include "tools/drawtender/base/deadline.h"

#include "base/time_limit.h"

#include <limits.h>

uint64_t deadline_now_ms(void) {
    return time_limit_clock_us() / 1000;
}

struct deadline deadline_in(uint32_t ms) {
    return (struct deadline){.is_set = true, .at_ms = deadline_now_ms() + ms};
}

bool deadline_is_past(struct deadline deadline) {
    return deadline.is_set && deadline_now_ms() >= deadline.at_ms;
}

int deadline_poll_ms(struct deadline deadline) {
    if (!deadline.is_set) {
        return -1;
    }
    uint64_t now = deadline_now_ms();
    if (now >= deadline.at_ms) {
        return 0;
    }
    uint64_t left = deadline.at_ms - now;
    return left > INT_MAX ? INT_MAX : (int)left;
}
