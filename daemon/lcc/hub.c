#include "lcc/hub.h"

#include "base/log.h"
#include "sockets/timer.h"

#include <arpa/inet.h>
#include <errno.h>
#include <event2/event.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

static const uint64_t second_us = 1000000;

static void name_of(const struct hub *hub, char name[LCC_LINK_NAME_SIZE]) {
    snprintf(name, LCC_LINK_NAME_SIZE, "hub %s port %u", hub->setup->address, hub->setup->port);
}

/* Said once, not every half minute. */
static void fail(struct hub *hub, const char *why) {
    if (!hub->is_told) {
        char name[LCC_LINK_NAME_SIZE];
        name_of(hub, name);
        log_line(LOG_WARNING, "LCC: %s: %s; trying again", name, why);
    }
    hub->is_told = true;
    timer_set(hub->again, retry_after_s(&hub->retry) * second_us);
}

static void ended(struct stream *stream, const char *why) {
    struct hub *hub = (struct hub *)((char *)stream - offsetof(struct hub, stream));
    hub->is_up = false;
    fail(hub, why);
}

static void connected(struct hub *hub) {
    char name[LCC_LINK_NAME_SIZE];
    int fd = hub->socket.fd;
    name_of(hub, name);
    if (!stream_open(&hub->stream, hub->bus, fd, name, hub->setup->right, true, ended)) {
        fail(hub, "out of memory");
        return;
    }
    hub->is_up = true;
    hub->is_told = false;
    hub->retry = (struct retry){0};
}

static void end_connecting(struct hub *hub) {
    if (hub->is_connecting) {
        sockets_watch(&hub->bus->sockets, &hub->socket, 0);
        hub->is_connecting = false;
    }
}

static void answered(void *context, short what) {
    (void)what;
    struct hub *hub = context;
    int fault = 0;
    socklen_t length = sizeof fault;
    end_connecting(hub);
    if (getsockopt(hub->socket.fd, SOL_SOCKET, SO_ERROR, &fault, &length) != 0) {
        fault = errno;
    }
    if (fault == 0) {
        connected(hub);
        return;
    }
    close(hub->socket.fd);
    fail(hub, strerror(fault));
}

union hub_address {
    struct sockaddr any;
    struct sockaddr_in v4;
    struct sockaddr_in6 v6;
};

static socklen_t read_address(const struct lcc_hub_setup *setup, union hub_address *address) {
    memset(address, 0, sizeof *address);
    if (inet_pton(AF_INET, setup->address, &address->v4.sin_addr) == 1) {
        address->v4.sin_family = AF_INET;
        address->v4.sin_port = htons(setup->port);
        return sizeof address->v4;
    }
    inet_pton(AF_INET6, setup->address, &address->v6.sin6_addr);
    address->v6.sin6_family = AF_INET6;
    address->v6.sin6_port = htons(setup->port);
    return sizeof address->v6;
}

static void connect_now(struct hub *hub) {
    union hub_address address;
    socklen_t length = read_address(hub->setup, &address);
    int fd = socket(address.any.sa_family, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);
    if (fd < 0) {
        fail(hub, strerror(errno));
        return;
    }
    hub->socket = (struct socket_watch){.fd = fd, .came = answered, .context = hub};
    if (connect(fd, &address.any, length) == 0) {
        connected(hub);
    } else if (errno != EINPROGRESS) {
        int fault = errno;
        close(fd);
        fail(hub, strerror(fault));
    } else if (!sockets_watch(&hub->bus->sockets, &hub->socket, EV_WRITE)) {
        close(fd);
        fail(hub, "out of memory");
    } else {
        hub->is_connecting = true;
    }
}

static void again_came(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    connect_now(context);
}

bool hub_open(struct hub *hub, struct bus *bus, const struct lcc_hub_setup *setup) {
    hub->setup = setup;
    hub->bus = bus;
    hub->again = evtimer_new(bus->base, again_came, hub);
    if (hub->again == NULL) {
        return false;
    }
    connect_now(hub);
    return true;
}

void hub_close(struct hub *hub) {
    if (hub->is_up) {
        stream_close(&hub->stream);
        hub->is_up = false;
    }
    if (hub->is_connecting) {
        end_connecting(hub);
        close(hub->socket.fd);
    }
    if (hub->again != NULL) {
        event_free(hub->again);
        hub->again = NULL;
    }
}
