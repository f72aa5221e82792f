#include "bench/echo.h"

#include "bench/figures.h"

#include <arpa/inet.h>
#include <event2/buffer.h>
#include <event2/bufferevent.h>
#include <event2/event.h>
#include <event2/listener.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

enum { CLIENTS_MAX = 2048, QUEUE = 1024 };

static int fds[CLIENTS_MAX];
static unsigned clients;

static void tell_others(int sender, const char *line, size_t length) {
    for (unsigned i = 0; i < clients; i++) {
        if (fds[i] != sender && write(fds[i], line, length) != (ssize_t)length) {
            figures_fail("the bare write loop was not taken");
        }
    }
}

static void lines_came(struct bufferevent *stream, void *context) {
    (void)context;
    struct evbuffer *input = bufferevent_get_input(stream);
    size_t length;
    char *line;
    while ((line = evbuffer_readln(input, &length, EVBUFFER_EOL_LF)) != NULL) {
        line[length] = '\n'; /* in place of the final zero */
        if (line[0] == '*') {
            tell_others(bufferevent_getfd(stream), line, length + 1);
        }
        bufferevent_write(stream, line, length + 1);
        free(line);
    }
}

static void ended(struct bufferevent *stream, short what, void *context) {
    (void)what;
    (void)context;
    int fd = bufferevent_getfd(stream);
    for (unsigned i = 0; i < clients; i++) {
        if (fds[i] == fd) {
            fds[i] = fds[--clients];
        }
    }
    bufferevent_free(stream);
}

static void client_came(struct evconnlistener *listener, evutil_socket_t fd,
                        struct sockaddr *address, int length, void *context) {
    (void)address;
    (void)length;
    (void)context;
    int yes = 1;
    setsockopt(fd, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes);
    if (clients == CLIENTS_MAX) {
        figures_fail("too many clients");
    }
    fds[clients++] = fd;
    struct bufferevent *stream =
        bufferevent_socket_new(evconnlistener_get_base(listener), fd, BEV_OPT_CLOSE_ON_FREE);
    bufferevent_setcb(stream, lines_came, NULL, ended, NULL);
    bufferevent_enable(stream, EV_READ | EV_WRITE);
}

void echo_run(int report) {
    struct event_base *base = event_base_new();
    struct sockaddr_in address = {.sin_family = AF_INET,
                                  .sin_addr = {.s_addr = htonl(INADDR_LOOPBACK)}};
    struct evconnlistener *listener =
        evconnlistener_new_bind(base, client_came, NULL, LEV_OPT_CLOSE_ON_FREE | LEV_OPT_REUSEABLE,
                                QUEUE, (struct sockaddr *)&address, sizeof address);
    socklen_t length = sizeof address;
    if (listener == NULL ||
        getsockname(evconnlistener_get_fd(listener), (struct sockaddr *)&address, &length) != 0) {
        figures_fail("the echo server cannot listen");
    }
    dprintf(report, "port %u\n", ntohs(address.sin_port));
    event_base_dispatch(base);
}
