#include "bench/clients/rogues.h"

#include "bench/figures.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <string.h>
#include <sys/epoll.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

enum { ROGUES_MAX = 256, BURST = 50 };

static int knock(unsigned port, int flags) {
    struct sockaddr_in address = {.sin_family = AF_INET,
                                  .sin_port = htons((uint16_t)port),
                                  .sin_addr = {.s_addr = htonl(INADDR_LOOPBACK)}};
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC | flags, 0);
    if (fd >= 0) {
        connect(fd, (struct sockaddr *)&address, sizeof address);
    }
    return fd;
}

/* A reset at once leaves no state behind with the kernel, or ports would run out. */
static void leave(int fd) {
    struct linger at_once = {.l_onoff = 1};
    setsockopt(fd, SOL_SOCKET, SO_LINGER, &at_once, sizeof at_once);
    close(fd);
}

static void rest_until(uint64_t due_ns) {
    uint64_t now_ns = figures_now_ns();
    if (now_ns < due_ns) {
        uint64_t rest_ns = due_ns - now_ns;
        struct timespec rest = {.tv_sec = (time_t)(rest_ns / 1000000000),
                                .tv_nsec = (long)(rest_ns % 1000000000)};
        nanosleep(&rest, NULL);
    }
}

void rogues_knock(unsigned port, unsigned a_second, struct rogues_tally *tally) {
    uint64_t due_ns = figures_now_ns();
    int fds[BURST];
    for (;;) {
        for (unsigned i = 0; i < BURST; i++) {
            fds[i] = knock(port, SOCK_NONBLOCK);
        }
        due_ns += (uint64_t)BURST * 1000000000 / a_second;
        rest_until(due_ns);
        for (unsigned i = 0; i < BURST; i++) {
            leave(fds[i]);
        }
        atomic_fetch_add(&tally->knocks, BURST);
    }
}

static void open_all(int fds[], unsigned port, unsigned clients, const char *says) {
    for (unsigned i = 0; i < clients && i < ROGUES_MAX; i++) {
        fds[i] = knock(port, 0);
        send(fds[i], says, strlen(says), MSG_NOSIGNAL | MSG_DONTWAIT);
    }
}

void rogues_flood(unsigned port, unsigned clients, struct rogues_tally *tally) {
    static const char lines[] = "GET 1 FB 1\nSET 1 GA 1\nNONSENSE\n\001\002\n"
                                "CHECK 1 GA 1 1 1 -1\nGET 1 DESCRIPTION\n\n\n\n";
    static char heard[1024];
    int fds[ROGUES_MAX];
    clients = clients < ROGUES_MAX ? clients : ROGUES_MAX;
    open_all(fds, port, clients, "GO\n");
    for (;;) {
        unsigned taken = 0;
        for (unsigned i = 0; i < clients; i++) {
            taken += send(fds[i], lines, sizeof lines - 1, MSG_NOSIGNAL | MSG_DONTWAIT) > 0;
            recv(fds[i], heard, sizeof heard, MSG_DONTWAIT);
        }
        atomic_fetch_add(&tally->lines, taken);
        if (taken == 0) {
            rest_until(figures_now_ns() + 1000000);
        }
    }
}

void rogues_dawdle(unsigned port, unsigned clients) {
    int fds[ROGUES_MAX];
    clients = clients < ROGUES_MAX ? clients : ROGUES_MAX;
    open_all(fds, port, clients / 2, "SET CONNECTIONMODE SRCP");
    open_all(fds + clients / 2, port, clients / 2, "SET CONNECTIONMODE SRCP INFO\nGO\n");
    for (;;) {
        pause();
    }
}

/* They are the kernel's until the server takes them, which it does as it gets descriptors. */
void rogues_hoard(unsigned port, unsigned clients) {
    for (unsigned i = 0; i < clients; i++) {
        knock(port, SOCK_NONBLOCK);
    }
    for (;;) {
        pause();
    }
}

/* --- those that hold on to what they began */

struct holder {
    int poll;
    unsigned port;
    const char *says;
    struct rogues_tally *tally;
};

static int begin_holding(const struct holder *holder) {
    int fd = knock(holder->port, SOCK_NONBLOCK);
    struct epoll_event event = {.events = EPOLLOUT | EPOLLRDHUP, .data = {.fd = fd}};
    if (fd < 0 || epoll_ctl(holder->poll, EPOLL_CTL_ADD, fd, &event) != 0) {
        figures_fail("no more descriptors for those that hold theirs");
    }
    return fd;
}

/* It is connected: it says its half, and from then on nothing. */
static void say_half(const struct holder *holder, int fd) {
    struct epoll_event event = {.events = EPOLLRDHUP, .data = {.fd = fd}};
    send(fd, holder->says, strlen(holder->says), MSG_NOSIGNAL | MSG_DONTWAIT);
    epoll_ctl(holder->poll, EPOLL_CTL_MOD, fd, &event);
}

void rogues_hold(unsigned port, unsigned clients, const char *says, bool comes_again,
                 struct rogues_tally *tally) {
    enum { EVENTS = 64 };
    const struct holder holder = {epoll_create1(EPOLL_CLOEXEC), port, says, tally};
    struct epoll_event events[EVENTS];
    for (unsigned i = 0; i < clients; i++) {
        begin_holding(&holder);
    }
    for (;;) {
        int count = epoll_wait(holder.poll, events, EVENTS, -1);
        for (int i = 0; i < count; i++) {
            int fd = events[i].data.fd;
            bool has_come = (events[i].events & EPOLLOUT) != 0; /* once each: see say_half() */
            atomic_fetch_add(&tally->knocks, has_come);
            if ((events[i].events & (EPOLLRDHUP | EPOLLHUP | EPOLLERR)) != 0) {
                leave(fd);
                if (comes_again) {
                    begin_holding(&holder);
                }
            } else {
                say_half(&holder, fd);
            }
        }
    }
}
