#define _GNU_SOURCE /* SCHED_RESET_ON_FORK */
#include "process/realtime.h"

#include "base/log.h"

#include <errno.h>
#include <sched.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <unistd.h>

/* Under a limit, locking what is yet to come would make the day on which it is reached the day on
 * which there is no memory. */
static bool may_lock_all(void) {
    struct rlimit limit;
    return geteuid() == 0 ||
           (getrlimit(RLIMIT_MEMLOCK, &limit) == 0 && limit.rlim_cur == RLIM_INFINITY);
}

bool realtime_ask(int priority) {
    struct sched_param wanted = {.sched_priority = priority};
    /* The control loop only: threads that it starts (the record's, the panel's) are in no hurry. */
    bool is_first = sched_setscheduler(0, SCHED_FIFO | SCHED_RESET_ON_FORK, &wanted) == 0;
    if (!is_first) {
        log_line(LOG_WARNING, "no real-time priority: %s; other programs may delay the bridge",
                 strerror(errno));
    }
    bool is_locked = mlockall(MCL_CURRENT | (may_lock_all() ? MCL_FUTURE : 0)) == 0;
    if (!is_locked) {
        log_line(LOG_WARNING, "memory is not locked: %s; a busy disk may delay the bridge",
                 strerror(errno));
    }
    return is_first && is_locked;
}
