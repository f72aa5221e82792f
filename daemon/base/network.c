#include "base/network.h"

#include <netinet/in.h>
#include <string.h>
#include <sys/socket.h>

static bool is_in(const struct network *network, const unsigned char address[16]) {
    unsigned whole = network->bits / 8;
    unsigned rest = network->bits % 8;
    if (memcmp(network->address, address, whole) != 0) {
        return false;
    }
    unsigned mask = 0xffu << (8 - rest) & 0xffu;
    return rest == 0 || ((network->address[whole] ^ address[whole]) & mask) == 0;
}

bool network_address(const struct sockaddr *from, unsigned char address[16]) {
    static const unsigned char mapped[12] = {[10] = 0xff, [11] = 0xff};
    if (from->sa_family == AF_INET6) {
        memcpy(address, &((const struct sockaddr_in6 *)(const void *)from)->sin6_addr, 16);
        return true;
    }
    if (from->sa_family == AF_INET) {
        memcpy(address, mapped, sizeof mapped);
        memcpy(address + sizeof mapped, &((const struct sockaddr_in *)(const void *)from)->sin_addr,
               4);
        return true;
    }
    return false;
}

bool network_may_come(const struct network *network, unsigned networks,
                      const struct sockaddr *from) {
    if (networks == 0 || from->sa_family == AF_UNIX) {
        return true;
    }
    unsigned char address[16];
    if (!network_address(from, address)) {
        return false;
    }
    for (unsigned i = 0; i < networks; i++) {
        if (is_in(&network[i], address)) {
            return true;
        }
    }
    return false;
}

bool network_is_own_machine(const char *address) {
    return address[0] == '/' || strncmp(address, "127.", 4) == 0 || strcmp(address, "::1") == 0;
}
