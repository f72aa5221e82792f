/* listener.h: one listening socket. A turn of the event loop takes a few clients only, and a rate
 * too high, or a descriptor too few, lets the others wait in the kernel's queue.
 *
 *   taking ──too many, or no descriptor──► resting ──its time──► taking */
#ifndef SOCKETS_LISTENER_H
#define SOCKETS_LISTENER_H

#include "base/error.h"
#include "base/places.h"
#include "sockets/rate.h"
#include "sockets/setup.h"
#include "sockets/sockets.h"

#include <stdbool.h>
#include <stdint.h>

struct event;
struct event_base;

/* All zero is a listener that is not open. */
struct listener {
    const struct net_listener_setup *setup;
    struct sockets *sockets;
    struct socket_watch coming;
    struct event *rested; /* NULL: not open */
    struct rate arrivals;
    unsigned refused; /* came from where none may */
    bool is_short;    /* of descriptors, and it was said */
    /* By the sessions: its clients that have not ended, and those past GO; the others' places. */
    unsigned connections, running;
    struct places shaking;
    void (*accepted)(void *context, struct listener *listener, int fd,
                     const unsigned char address[16]);
    void *context;
};

/* Opens; `accepted` then gets each client's socket, to own, and its address as network_address()
 * has it, which is all zero of a Unix socket's. `setup` and `sockets` must outlive
 * the listener. */
bool listener_open(struct listener *listener, struct event_base *base, struct sockets *sockets,
                   const struct net_listener_setup *setup,
                   void (*accepted)(void *context, struct listener *listener, int fd,
                                    const unsigned char address[16]),
                   void *context, struct error *error);
void listener_close(struct listener *listener);

/* 0: it is not open, or a Unix socket. */
uint16_t listener_port(const struct listener *listener);

#endif
