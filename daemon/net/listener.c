#include "net/listener.h"

#include "base/log.h"

#include <arpa/inet.h>
#include <errno.h>
#include <event2/event.h>
#include <event2/listener.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/time.h>

enum { QUEUE = 64 };

union socket_address {
    struct sockaddr any;
    struct sockaddr_in v4;
    struct sockaddr_in6 v6;
};

static void client_came(struct evconnlistener *socket, evutil_socket_t fd, struct sockaddr *address,
                        int length, void *context) {
    (void)socket;
    (void)address;
    (void)length;
    struct listener *listener = context;
    listener->accepted(listener->context, listener, fd);
}

/* Out of descriptors: the waiting client stays in the queue, and asking again at once would only
 * burn time. */
static void accept_failed(struct evconnlistener *socket, void *context) {
    struct listener *listener = context;
    log_line(LOG_WARNING, "%s port %u: no client taken: %s", listener->setup->address,
             listener_port(listener), strerror(errno));
    evconnlistener_disable(socket);
    struct timeval delay = {.tv_sec = 1};
    evtimer_add(listener->retry, &delay);
}

static void retry(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct listener *listener = context;
    evconnlistener_enable(listener->socket);
}

/* Returns the length, or 0 if the address is not numeric. */
static int read_address(const struct net_listener_setup *setup, union socket_address *address) {
    *address = (union socket_address){.any = {.sa_family = AF_UNSPEC}};
    if (inet_pton(AF_INET, setup->address, &address->v4.sin_addr) == 1) {
        address->v4.sin_family = AF_INET;
        address->v4.sin_port = htons(setup->port);
        return sizeof address->v4;
    }
    *address = (union socket_address){.any = {.sa_family = AF_UNSPEC}};
    if (inet_pton(AF_INET6, setup->address, &address->v6.sin6_addr) == 1) {
        address->v6.sin6_family = AF_INET6;
        address->v6.sin6_port = htons(setup->port);
        return sizeof address->v6;
    }
    return 0;
}

bool listener_open(struct listener *listener, struct event_base *base,
                   const struct net_listener_setup *setup,
                   void (*accepted)(void *context, const struct listener *listener, int fd),
                   void *context, struct error *error) {
    *listener = (struct listener){.setup = setup, .accepted = accepted, .context = context};
    char where[96];
    snprintf(where, sizeof where, "%s port %u", setup->address, setup->port);
    union socket_address address;
    int length = read_address(setup, &address);
    if (length == 0) {
        return error_set(error, where, "not a numeric IPv4 or IPv6 address");
    }
    unsigned options = LEV_OPT_CLOSE_ON_FREE | LEV_OPT_CLOSE_ON_EXEC | LEV_OPT_REUSEABLE;
    if (address.any.sa_family == AF_INET6) {
        options |= LEV_OPT_BIND_IPV6ONLY;
    }
    listener->socket =
        evconnlistener_new_bind(base, client_came, listener, options, QUEUE, &address.any, length);
    if (listener->socket == NULL) {
        return error_set(error, where, "cannot listen: %s", strerror(errno));
    }
    listener->retry = evtimer_new(base, retry, listener);
    if (listener->retry == NULL) {
        listener_close(listener);
        return error_set(error, where, "out of memory");
    }
    evconnlistener_set_error_cb(listener->socket, accept_failed);
    return true;
}

void listener_close(struct listener *listener) {
    if (listener->socket != NULL) {
        evconnlistener_free(listener->socket);
        listener->socket = NULL;
    }
    if (listener->retry != NULL) {
        event_free(listener->retry);
        listener->retry = NULL;
    }
}

uint16_t listener_port(const struct listener *listener) {
    union socket_address address;
    socklen_t length = sizeof address;
    if (listener->socket == NULL ||
        getsockname(evconnlistener_get_fd(listener->socket), &address.any, &length) != 0) {
        return 0;
    }
    return ntohs(address.any.sa_family == AF_INET6 ? address.v6.sin6_port : address.v4.sin_port);
}
