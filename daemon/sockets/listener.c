#define _GNU_SOURCE /* accept4() */
#include "sockets/listener.h"

#include "base/log.h"
#include "base/network.h"
#include "sockets/endpoint.h"
#include "sockets/timer.h"

#include <errno.h>
#include <event2/event.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

enum { CLIENTS_A_TURN = 2 };

static const uint64_t second_us = 1000000;

static void rest(struct listener *listener, uint64_t rest_us) {
    sockets_watch(listener->sockets, &listener->coming, 0);
    timer_set(listener->rested, rest_us);
}

static void rested(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct listener *listener = context;
    if (!sockets_watch(listener->sockets, &listener->coming, EV_READ)) {
        rest(listener, second_us); /* no memory: later, then */
    }
}

/* false: one more has to wait, and the listener rests until its time. */
static bool is_in_time(struct listener *listener) {
    uint64_t wait_us = rate_wait_us(&listener->arrivals);
    if (wait_us > 0) {
        rest(listener, wait_us);
    }
    return wait_us == 0;
}

static void name_of(const struct listener *listener, char name[ENDPOINT_NAME_SIZE]) {
    endpoint_name(listener->setup, listener_port(listener), name, ENDPOINT_NAME_SIZE);
}

/* Asking again at once would only burn time; saying it each time would fill the log. */
static void run_short(struct listener *listener, int fault) {
    if (!listener->is_short) {
        char name[ENDPOINT_NAME_SIZE];
        name_of(listener, name);
        log_line(LOG_WARNING, "%s: clients must wait: %s", name, strerror(fault));
    }
    listener->is_short = true;
    rest(listener, second_us);
}

static void refuse(struct listener *listener, int fd) {
    close(fd);
    listener->refused++;
    if ((listener->refused & (listener->refused - 1)) == 0) { /* the 1st, 2nd, 4th, 8th ... */
        char name[ENDPOINT_NAME_SIZE];
        name_of(listener, name);
        log_line(LOG_WARNING, "%s: %u clients refused: not from a permitted network", name,
                 listener->refused);
    }
}

/* Returns false when that is enough for this turn. */
static bool take(struct listener *listener) {
    struct sockaddr_storage from;
    unsigned char address[16] = {0};
    socklen_t length = sizeof from;
    if (!is_in_time(listener)) {
        return false;
    }
    int fd = accept4(listener->coming.fd, (struct sockaddr *)&from, &length,
                     SOCK_NONBLOCK | SOCK_CLOEXEC);
    if (fd < 0) {
        if (errno == EMFILE || errno == ENFILE || errno == ENOMEM || errno == ENOBUFS) {
            run_short(listener, errno);
        }
        return false; /* or nobody is there any more */
    }
    listener->is_short = false;
    rate_count(&listener->arrivals);
    if (network_may_come(listener->setup->network, listener->setup->networks,
                         (const struct sockaddr *)&from)) {
        network_address((const struct sockaddr *)&from, address);
        listener->accepted(listener->context, listener, fd, address);
    } else {
        refuse(listener, fd);
    }
    return true;
}

static void clients_came(void *context, short what) {
    (void)what;
    struct listener *listener = context;
    for (unsigned i = 0; i < CLIENTS_A_TURN && take(listener); i++) {
    }
}

static void shut(struct listener *listener) {
    sockets_watch(listener->sockets, &listener->coming, 0);
    if (listener->rested != NULL) {
        event_free(listener->rested);
        listener->rested = NULL;
    }
    endpoint_close(listener->setup, listener->coming.fd);
}

bool listener_open(struct listener *listener, struct event_base *base, struct sockets *sockets,
                   const struct net_listener_setup *setup,
                   void (*accepted)(void *context, struct listener *listener, int fd,
                                    const unsigned char address[16]),
                   void *context, struct error *error) {
    *listener = (struct listener){.setup = setup,
                                  .sockets = sockets,
                                  .arrivals = {.most = setup->arrivals_a_second},
                                  .accepted = accepted,
                                  .context = context};
    places_init(&listener->shaking);
    int fd = endpoint_open(setup, error);
    if (fd < 0) {
        return false;
    }
    listener->coming = (struct socket_watch){.fd = fd, .came = clients_came, .context = listener};
    listener->rested = evtimer_new(base, rested, listener);
    if (listener->rested == NULL || !sockets_watch(sockets, &listener->coming, EV_READ)) {
        shut(listener);
        return error_set(error, setup->address, "out of memory");
    }
    return true;
}

void listener_close(struct listener *listener) {
    if (listener->rested != NULL) {
        shut(listener);
    }
}

uint16_t listener_port(const struct listener *listener) {
    return listener->rested == NULL ? 0 : (uint16_t)endpoint_port(listener->coming.fd);
}
