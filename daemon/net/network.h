/* network.h: whether an address lies in a network. */
#ifndef NET_NETWORK_H
#define NET_NETWORK_H

#include "net/setup.h"

#include <stdbool.h>

struct sockaddr;

/* Where a client comes from, as 16 bytes (struct net_network); false: neither IPv4 nor IPv6. */
bool network_address(const struct sockaddr *from, unsigned char address[16]);

/* True also if the listener has no list: then clients may come from everywhere. A Unix socket's
 * clients are let in by the permissions of its file alone. */
bool network_may_come(const struct net_listener_setup *listener, const struct sockaddr *from);

#endif
