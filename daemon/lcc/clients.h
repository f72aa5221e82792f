/* clients.h: a listener, and its clients. */
#ifndef LCC_CLIENTS_H
#define LCC_CLIENTS_H

#include "base/error.h"
#include "lcc/stream.h"
#include "sockets/listener.h"

LIST_HEAD(client_list, lcc_client);

/* All zero is not open. */
struct clients {
    struct bus *bus;
    struct listener listener;
    struct client_list list;
    unsigned count;
    unsigned refused; /* there were too many */
};

/* `setup` must outlive it. */
bool clients_open(struct clients *clients, struct bus *bus, const struct net_listener_setup *setup,
                  struct error *error);
void clients_close(struct clients *clients);

#endif
