/* setup.h: what a listening socket is told: where, for whom, and the limits set to its clients. */
#ifndef SOCKETS_SETUP_H
#define SOCKETS_SETUP_H

#include "base/network.h"

#include <stdint.h>

enum { NET_ADDRESS_SIZE = 108, NET_NETWORKS_MAX = 16 };

/* What clients of a listener may do; each right includes the ones before it. */
enum net_right { NET_OBSERVE = 0, NET_OPERATE, NET_ADMINISTER };

struct net_listener_setup {
    char address[NET_ADDRESS_SIZE]; /* numeric IPv4 or IPv6, or a Unix socket's path, from "/" */
    uint16_t port;                  /* of no meaning to a Unix socket */
    enum net_right right;
    unsigned networks; /* where clients may come from; 0: from everywhere */
    struct network network[NET_NETWORKS_MAX];
    unsigned sessions_max;      /* of this listener; 0: no limit but the server's */
    unsigned arrivals_a_second; /* new clients, more wait; 0: no limit */
    unsigned lines_a_second;    /* of one client, more wait; 0: no limit */
};

#endif
