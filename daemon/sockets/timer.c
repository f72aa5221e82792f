#include "sockets/timer.h"

#include <event2/event.h>
#include <sys/time.h>

static const uint64_t second_us = 1000000;

void timer_set(struct event *timer, uint64_t us) {
    struct timeval delay = {.tv_sec = (time_t)(us / second_us),
                            .tv_usec = (suseconds_t)(us % second_us)};
    if (evtimer_add(timer, &delay) != 0) {
        event_active(timer, EV_TIMEOUT, 0); /* needs no memory */
    }
}
