/* listener.h: one listening socket. */
#ifndef NET_LISTENER_H
#define NET_LISTENER_H

#include "base/error.h"
#include "net/setup.h"

#include <stdbool.h>

struct event;
struct event_base;
struct evconnlistener;

/* All zero is a listener that is not open. */
struct listener {
    const struct net_listener_setup *setup;
    struct evconnlistener *socket;
    struct event *retry; /* when no descriptor was left to accept with */
    void (*accepted)(void *context, const struct listener *listener, int fd);
    void *context;
};

/* Opens; `accepted` then gets each client's socket, to own. `setup` must outlive the listener. */
bool listener_open(struct listener *listener, struct event_base *base,
                   const struct net_listener_setup *setup,
                   void (*accepted)(void *context, const struct listener *listener, int fd),
                   void *context, struct error *error);
void listener_close(struct listener *listener);

uint16_t listener_port(const struct listener *listener);

#endif
