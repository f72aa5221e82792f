#include "sockets/endpoint.h"

#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

/* Clients that have connected and are not yet taken; the kernel may allow fewer (somaxconn). One
 * that finds no place here comes a second later. */
enum { QUEUE = 4096 };

/* What the kernel may hold unread for a client is bounded; it counts twice as much. */
enum { KERNEL_UNREAD = 32 * 1024 };

union socket_address {
    struct sockaddr any;
    struct sockaddr_in v4;
    struct sockaddr_in6 v6;
    struct sockaddr_un un;
};

bool endpoint_is_unix(const struct net_listener_setup *setup) {
    return setup->address[0] == '/';
}

void endpoint_name(const struct net_listener_setup *setup, unsigned port, char *name, size_t size) {
    if (endpoint_is_unix(setup)) {
        snprintf(name, size, "%s", setup->address);
    } else {
        snprintf(name, size, "%s port %u", setup->address, port);
    }
}

/* Returns the length, or 0 if the address is invalid. */
static socklen_t read_address(const struct net_listener_setup *setup, union socket_address *out) {
    memset(out, 0, sizeof *out);
    if (endpoint_is_unix(setup)) {
        out->un.sun_family = AF_UNIX;
        int length = snprintf(out->un.sun_path, sizeof out->un.sun_path, "%s", setup->address);
        return (size_t)length < sizeof out->un.sun_path ? sizeof out->un : 0;
    }
    if (inet_pton(AF_INET, setup->address, &out->v4.sin_addr) == 1) {
        out->v4.sin_family = AF_INET;
        out->v4.sin_port = htons(setup->port);
        return sizeof out->v4;
    }
    if (inet_pton(AF_INET6, setup->address, &out->v6.sin6_addr) == 1) {
        out->v6.sin6_family = AF_INET6;
        out->v6.sin6_port = htons(setup->port);
        return sizeof out->v6;
    }
    return 0;
}

/* Left by a daemon that died: a socket, and nobody answers. */
static bool is_left_over(const union socket_address *address) {
    struct stat file;
    if (lstat(address->un.sun_path, &file) != 0 || !S_ISSOCK(file.st_mode)) {
        return false;
    }
    int fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    bool is_refused =
        fd >= 0 && connect(fd, &address->any, sizeof address->un) != 0 && errno == ECONNREFUSED;
    if (fd >= 0) {
        close(fd);
    }
    return is_refused;
}

/* Nobody can connect before listen(): the permissions are right by then. */
static bool bind_unix(int fd, const union socket_address *address) {
    if (bind(fd, &address->any, sizeof address->un) != 0) {
        if (errno != EADDRINUSE) {
            return false;
        }
        if (!is_left_over(address)) {
            errno = EADDRINUSE;
            return false;
        }
        if (unlink(address->un.sun_path) != 0 || bind(fd, &address->any, sizeof address->un) != 0) {
            return false;
        }
    }
    return chmod(address->un.sun_path, S_IRUSR | S_IWUSR | S_IRGRP | S_IWGRP) == 0;
}

static bool bind_internet(int fd, const union socket_address *address, socklen_t length) {
    int yes = 1;
    int unread = KERNEL_UNREAD;
    setsockopt(fd, SOL_SOCKET, SO_RCVBUF, &unread, sizeof unread); /* its clients' sockets too */
    setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    if (address->any.sa_family == AF_INET6) {
        setsockopt(fd, IPPROTO_IPV6, IPV6_V6ONLY, &yes, sizeof yes);
    }
    return bind(fd, &address->any, length) == 0;
}

int endpoint_open(const struct net_listener_setup *setup, struct error *error) {
    char where[ENDPOINT_NAME_SIZE];
    endpoint_name(setup, setup->port, where, sizeof where);
    union socket_address address;
    socklen_t length = read_address(setup, &address);
    if (length == 0) {
        error_set(error, where, "not a numeric IPv4 or IPv6 address, nor a path");
        return -1;
    }
    int fd = socket(address.any.sa_family, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);
    bool is_bound = fd >= 0 && (endpoint_is_unix(setup) ? bind_unix(fd, &address)
                                                        : bind_internet(fd, &address, length));
    if (!is_bound || listen(fd, QUEUE) != 0) {
        error_set(error, where, "cannot listen: %s", strerror(errno));
        if (fd >= 0) {
            close(fd);
        }
        return -1;
    }
    return fd;
}

void endpoint_close(const struct net_listener_setup *setup, int fd) {
    if (endpoint_is_unix(setup)) {
        unlink(setup->address);
    }
    close(fd);
}

unsigned endpoint_port(int fd) {
    union socket_address address;
    socklen_t length = sizeof address;
    if (getsockname(fd, &address.any, &length) != 0) {
        return 0;
    }
    if (address.any.sa_family == AF_INET6) {
        return ntohs(address.v6.sin6_port);
    }
    return address.any.sa_family == AF_INET ? ntohs(address.v4.sin_port) : 0;
}
