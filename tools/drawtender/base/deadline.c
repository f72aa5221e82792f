#include "tools/drawtender/base/deadline.h"

#include <limits.h>
#include <time.h>

static uint64_t now_ms(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * 1000 + (uint64_t)now.tv_nsec / 1000000;
}

struct deadline deadline_in(uint32_t ms) {
    return (struct deadline){.is_set = true, .at_ms = now_ms() + ms};
}

bool deadline_is_past(struct deadline deadline) {
    return deadline.is_set && now_ms() >= deadline.at_ms;
}

int deadline_poll_ms(struct deadline deadline) {
    if (!deadline.is_set) {
        return -1;
    }
    uint64_t now = now_ms();
    if (now >= deadline.at_ms) {
        return 0;
    }
    uint64_t left = deadline.at_ms - now;
    return left > INT_MAX ? INT_MAX : (int)left;
}
