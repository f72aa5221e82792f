/* timer.h: timers of the event loop that ring in any case. */
#ifndef SOCKETS_TIMER_H
#define SOCKETS_TIMER_H

#include <stdint.h>

struct event;

/* Rings after this time on the wall, once; forgets an earlier setting. Without memory for one timer
 * more it rings at once: who set it looks whether its time has come, or gives up what it was for.
 * It may do so again and again: the loop's bound on the network's turns (loop.h) leaves the bridges
 * theirs. */
void timer_set(struct event *timer, uint64_t us);

#endif
