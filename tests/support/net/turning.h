/* turning.h: turns an event loop of this process, whose sockets talk to one another over loopback.
 * Nothing sleeps: a turn waits until something happens, and a guard fails the test if that never
 * comes. */
#ifndef SUPPORT_TURNING_H
#define SUPPORT_TURNING_H

struct event_base;

struct turning {
    struct event_base *base;
    int probe; /* see turning_settle() */
};

/* Makes the base, with precise timers. */
void turning_begin(struct turning *turning);
void turning_end(struct turning *turning);

/* Waits until something happens. */
void turning_once(const struct turning *turning);

/* Until all has happened that can without another byte or a timer's time. Most kernels deliver over
 * loopback within the call that sends, a busy one some time later: a probe that is sent now comes
 * after what was sent before. */
void turning_settle(const struct turning *turning);

#endif
