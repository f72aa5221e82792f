/* endpoint.h: opens and closes listening sockets, IPv4, IPv6 and Unix. */
#ifndef SOCKETS_ENDPOINT_H
#define SOCKETS_ENDPOINT_H

#include "base/error.h"
#include "sockets/setup.h"

#include <stdbool.h>
#include <stddef.h>

enum { ENDPOINT_NAME_SIZE = NET_ADDRESS_SIZE + 16 };

bool endpoint_is_unix(const struct net_listener_setup *setup);

/* "127.0.0.1 port 4303", or the path. */
void endpoint_name(const struct net_listener_setup *setup, unsigned port, char *name, size_t size);

/* Returns the socket, non-blocking and listening, or -1 and fills `error`. A Unix socket's file
 * that nobody listens behind is replaced; its owner and group may connect. */
int endpoint_open(const struct net_listener_setup *setup, struct error *error);

/* A Unix socket's file goes too. */
void endpoint_close(const struct net_listener_setup *setup, int fd);

/* The port it really has; 0: none. */
unsigned endpoint_port(int fd);

#endif
