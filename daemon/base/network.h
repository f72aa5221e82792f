/* network.h: whether an address lies in a network. */
#ifndef BASE_NETWORK_H
#define BASE_NETWORK_H

#include <stdbool.h>

struct sockaddr;

/* All addresses that begin with the same bits. IPv4 is written as ::ffff:a.b.c.d, 96 bits longer
 * (RFC 4291, 2.5.5.2; from memory). */
struct network {
    unsigned char address[16];
    unsigned bits; /* 0 to 128 */
};

/* Where a client comes from, as 16 bytes (struct network); false: neither IPv4 nor IPv6. */
bool network_address(const struct sockaddr *from, unsigned char address[16]);

/* Whether it is in one of these networks. True also if there are none: then clients may come from
 * everywhere. A Unix socket's clients are let in by the permissions of its file alone. */
bool network_may_come(const struct network *network, unsigned networks,
                      const struct sockaddr *from);

/* Whether a listener at this address has clients of this machine only: a loopback address, or the
 * path of a Unix socket. */
bool network_is_own_machine(const char *address);

#endif
