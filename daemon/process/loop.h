/* loop.h: the event loop of the daemon: priority 0 is the bridges', 1 the network's and the
 * timers'. A bridge comes first, but its events may come without end (a line that chatters): then
 * all that has waited has its turn after LOOP_BRIDGE_TURNS of them, or after 5 ms. So whatever a
 * bridge's cycle gives as a sign of life comes from a loop in which everybody has had a turn. */
#ifndef DAEMON_LOOP_H
#define DAEMON_LOOP_H

#include <stdbool.h>

struct event_base;
struct loop;

enum { LOOP_BRIDGE_TURNS = 50 };

/* NULL: none to be had. Whatever the network has to do, the loop looks for a bridge's events again
 * after a bounded time. */
struct loop *loop_new(void);

/* All events must be gone. NULL is taken. */
void loop_free(struct loop *loop);

struct event_base *loop_base(struct loop *loop);

/* Runs until loop_end(), event_base_loopexit() or event_base_loopbreak(). Returns false where the
 * system does not let it, or no event is left. */
bool loop_run(struct loop *loop);

/* Ends it before the next callback. */
void loop_end(struct loop *loop);

/* To be called by each event of priority 0. */
void loop_bridge_turn(struct loop *loop);

#endif
