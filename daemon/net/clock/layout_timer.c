#include "net/clock/layout_timer.h"

#include "sockets/timer.h"

#include <event2/event.h>
#include <math.h>

enum { SECOND_US = 1000000 };

/* A clock on the wall may be set; no timer trusts it for longer than this. */
static const uint64_t longest_us = 86400ULL * SECOND_US;

uint64_t layout_timer_real_us(uint64_t layout_us, double pace) {
    double real_us = ceil((double)layout_us / pace);
    if (real_us >= (double)longest_us) {
        return longest_us;
    }
    return real_us < 1 ? 1 : (uint64_t)real_us;
}

static void arm(struct layout_timer *timer, uint64_t now_us) {
    uint64_t left_us = timer->due_us > now_us ? timer->due_us - now_us : 0;
    timer_set(timer->event, layout_timer_real_us(left_us, timer->host->pace));
}

static void real_timer_rang(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct layout_timer *timer = context;
    uint64_t now_us = timer->host->now_us(timer->host->context);
    if (now_us < timer->due_us) {
        arm(timer, now_us);
    } else {
        timer->ring(timer->context);
    }
}

bool layout_timer_init(struct layout_timer *timer, struct event_base *base,
                       const struct net_host *host, void (*ring)(void *context), void *context) {
    *timer = (struct layout_timer){.host = host, .ring = ring, .context = context};
    timer->event = evtimer_new(base, real_timer_rang, timer);
    return timer->event != NULL;
}

void layout_timer_free(struct layout_timer *timer) {
    if (timer->event != NULL) {
        event_free(timer->event);
        timer->event = NULL;
    }
}

void layout_timer_set(struct layout_timer *timer, uint64_t due_us) {
    timer->due_us = due_us;
    arm(timer, timer->host->now_us(timer->host->context));
}

void layout_timer_cancel(struct layout_timer *timer) {
    evtimer_del(timer->event);
}
