/* loop.h: the event loop of the daemon: priority 0 is the bridges', 1 the network's. */
#ifndef DAEMON_LOOP_H
#define DAEMON_LOOP_H

struct event_base;

/* NULL: none to be had. Whatever the network has to do, the loop looks for a bridge's events again
 * after a bounded time. */
struct event_base *loop_new(void);

#endif
