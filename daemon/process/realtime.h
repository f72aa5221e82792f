/* realtime.h: asking the system not to keep the bridges waiting. */
#ifndef DAEMON_REALTIME_H
#define DAEMON_REALTIME_H

#include <stdbool.h>

/* SCHED_FIFO with this priority, 1 to 99, for the calling thread and none that it starts, and
 * memory locked: all of it, or, under a limit, what
 * there is by now. What the system does not permit is logged as a warning, and the daemon runs on
 * without it. Returns whether both were permitted. */
bool realtime_ask(int priority);

#endif
