/* layout_timer.h: rings once at a layout time.
 * Layout time may run faster than the wall's (net_host.pace), and it may be held: the real timer is
 * only a reason to look at the layout's own time, and is armed again when it comes too early. */
#ifndef NET_LAYOUT_TIMER_H
#define NET_LAYOUT_TIMER_H

#include "net/host.h"

#include <stdbool.h>
#include <stdint.h>

struct event;
struct event_base;

struct layout_timer {
    struct event *event; /* NULL: not made */
    const struct net_host *host;
    void (*ring)(void *context);
    void *context;
    uint64_t due_us; /* layout time */
};

/* `host` must outlive the timer. Returns false when memory is out. */
bool layout_timer_init(struct layout_timer *timer, struct event_base *base,
                       const struct net_host *host, void (*ring)(void *context), void *context);
void layout_timer_free(struct layout_timer *timer);

/* Rings at `due_us`, or soon if that is past; forgets an earlier setting. */
void layout_timer_set(struct layout_timer *timer, uint64_t due_us);
void layout_timer_cancel(struct layout_timer *timer);

/* Real microseconds until `layout_us` of layout time have passed: rounded up, 1 at the least, a day
 * at the most. */
uint64_t layout_timer_real_us(uint64_t layout_us, double pace);

#endif
