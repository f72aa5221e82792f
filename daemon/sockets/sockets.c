#include "sockets/sockets.h"

#include "base/invariant.h"
#include "sockets/timer.h"

#include <event2/event.h>
#include <sys/epoll.h>
#include <time.h>
#include <unistd.h>

enum { LOOK_US = 10000, REST_US = 1000 };

/* The share of LOOK_US above which it rests. REST_US in each such stretch leaves more than the
 * kernel takes by force. */
enum { BUSY_EIGHTHS = 7 };

static uint64_t clock_us(clockid_t clock) {
    struct timespec now;
    clock_gettime(clock, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

static void begin_rest(struct sockets *sockets) {
    sockets->is_resting = true;
    event_del(sockets->came);
    event_del(sockets->turn);
    timer_set(sockets->rested, REST_US);
}

static void rested(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct sockets *sockets = context;
    if (sockets->watched > 0 && event_add(sockets->came, NULL) != 0) {
        timer_set(sockets->rested, REST_US); /* no memory: later, then */
        return;
    }
    sockets->is_resting = false;
    sockets_ask_for_turn(sockets); /* those that asked meanwhile */
}

/* After each piece of work. */
static void rest_if_busy(struct sockets *sockets) {
    if (!sockets->must_rest) {
        return;
    }
    uint64_t now_us = clock_us(CLOCK_MONOTONIC);
    uint64_t took_us = now_us - sockets->since_us;
    if (took_us < LOOK_US) {
        return;
    }
    uint64_t used_us = clock_us(CLOCK_THREAD_CPUTIME_ID);
    bool is_busy = (used_us - sockets->used_us) * 8 > took_us * BUSY_EIGHTHS;
    sockets->since_us = now_us;
    sockets->used_us = used_us;
    if (is_busy) {
        begin_rest(sockets);
    }
}

static short what_came(uint32_t events) {
    bool is_broken = (events & EPOLLERR) != 0;
    bool is_over = (events & EPOLLHUP) != 0 && (events & EPOLLRDHUP) == 0;
    if (is_broken || is_over) {
        return EV_READ | EV_WRITE;
    }
    return (short)((events & EPOLLIN ? EV_READ : 0) | (events & EPOLLOUT ? EV_WRITE : 0) |
                   (events & EPOLLRDHUP ? EV_CLOSED : 0));
}

static uint32_t events_for(short what) {
    return (what & EV_READ ? EPOLLIN : 0u) | (what & EV_WRITE ? EPOLLOUT : 0u) |
           (what & EV_CLOSED ? EPOLLRDHUP : 0u) | (what & EV_ET ? EPOLLET : 0u);
}

void sockets_look(struct sockets *sockets, int limit_ms) {
    struct epoll_event events[SOCKETS_A_TURN];
    int count = epoll_wait(sockets->poll, events, SOCKETS_A_TURN, limit_ms);
    for (int i = 0; i < count; i++) {
        sockets->batch[i] = events[i].data.ptr;
    }
    for (int i = 0; i < count; i++) {
        struct socket_watch *watch = sockets->batch[i];
        sockets->batch[i] = NULL;
        short came = watch == NULL ? 0 : (short)(what_came(events[i].events) & watch->what);
        if (came != 0) {
            watch->came(watch->context, came);
        }
    }
}

static void sockets_came(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct sockets *sockets = context;
    sockets_look(sockets, 0);
    rest_if_busy(sockets);
}

static void turn_came(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct sockets *sockets = context;
    sockets->take_turn(sockets->context);
    rest_if_busy(sockets);
}

bool sockets_init(struct sockets *sockets, struct event_base *base, bool must_rest,
                  void (*take_turn)(void *context), void *context) {
    *sockets = (struct sockets){.poll = epoll_create1(EPOLL_CLOEXEC),
                                .must_rest = must_rest,
                                .take_turn = take_turn,
                                .context = context};
    if (sockets->poll < 0) {
        return false;
    }
    sockets->came = event_new(base, sockets->poll, EV_READ | EV_PERSIST, sockets_came, sockets);
    sockets->turn = evtimer_new(base, turn_came, sockets);
    sockets->rested = evtimer_new(base, rested, sockets);
    return sockets->came != NULL && sockets->turn != NULL && sockets->rested != NULL;
}

void sockets_free(struct sockets *sockets) {
    struct event **const events[] = {&sockets->came, &sockets->turn, &sockets->rested};
    for (unsigned i = 0; i < 3; i++) {
        if (*events[i] != NULL) {
            event_free(*events[i]);
            *events[i] = NULL;
        }
    }
    if (sockets->poll >= 0) {
        close(sockets->poll);
        sockets->poll = -1;
    }
}

/* It is no longer part of a turn that is under way. */
static void leave_batch(struct sockets *sockets, const struct socket_watch *watch) {
    for (unsigned i = 0; i < SOCKETS_A_TURN; i++) {
        if (sockets->batch[i] == watch) {
            sockets->batch[i] = NULL;
        }
    }
}

/* The kernel's part. */
static bool register_watch(const struct sockets *sockets, struct socket_watch *watch, short what) {
    int how = what == 0 ? EPOLL_CTL_DEL : watch->what == 0 ? EPOLL_CTL_ADD : EPOLL_CTL_MOD;
    struct epoll_event event = {.events = events_for(what), .data = {.ptr = watch}};
    bool is_done = epoll_ctl(sockets->poll, how, watch->fd, &event) == 0;
    if (!is_done && how == EPOLL_CTL_MOD) {
        epoll_ctl(sockets->poll, EPOLL_CTL_DEL, watch->fd, NULL);
    }
    return is_done;
}

/* The loop's. */
static bool count(struct sockets *sockets, bool was_watched, bool is_watched) {
    INVARIANT(!was_watched || sockets->watched > 0);
    if (was_watched && !is_watched && --sockets->watched == 0) {
        event_del(sockets->came);
    }
    if (is_watched && !was_watched && sockets->watched++ == 0 && !sockets->is_resting) {
        return event_add(sockets->came, NULL) == 0;
    }
    return true;
}

bool sockets_watch(struct sockets *sockets, struct socket_watch *watch, short what) {
    short before = watch->what;
    if (what == before) {
        return true;
    }
    watch->what = register_watch(sockets, watch, what) ? what : 0;
    if (watch->what == 0) {
        leave_batch(sockets, watch);
    }
    if (!count(sockets, before != 0, watch->what != 0)) {
        sockets_watch(sockets, watch, 0);
        return false;
    }
    return watch->what == what;
}

void sockets_ask_for_turn(struct sockets *sockets) {
    if (!sockets->is_resting && !evtimer_pending(sockets->turn, NULL)) {
        timer_set(sockets->turn, 0); /* event_active() would come before the next poll */
    }
}
