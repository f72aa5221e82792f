#include "realtime.h"

#include "base/log.h"

#include <errno.h>
#include <sched.h>
#include <string.h>
#include <sys/mman.h>

bool realtime_ask(int priority) {
    struct sched_param wanted = {.sched_priority = priority};
    bool is_first = sched_setscheduler(0, SCHED_FIFO, &wanted) == 0;
    if (!is_first) {
        log_line(LOG_WARNING,
                 "no real-time priority: %s; other programs may keep the bridge waiting",
                 strerror(errno));
    }
    bool is_locked = mlockall(MCL_CURRENT | MCL_FUTURE) == 0;
    if (!is_locked) {
        log_line(LOG_WARNING, "memory is not locked: %s; a busy disk may keep the bridge waiting",
                 strerror(errno));
    }
    return is_first && is_locked;
}
