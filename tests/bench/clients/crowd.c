#include "bench/clients/crowd.h"

#include "bench/figures.h"

#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/epoll.h>
#include <sys/socket.h>
#include <unistd.h>

enum {
    EVENTS = 64,
    PIECE = 32768,
    DEPTH_MAX = 64,
    LINE_MAX_SIZE = 256,
    HANGS_MS = 20000,
    SILENCE_MS = 300
};

static int connect_to(unsigned port) {
    struct sockaddr_in address = {.sin_family = AF_INET,
                                  .sin_port = htons((uint16_t)port),
                                  .sin_addr = {.s_addr = htonl(INADDR_LOOPBACK)}};
    int yes = 1;
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (fd < 0 || connect(fd, (struct sockaddr *)&address, sizeof address) != 0) {
        figures_fail("cannot connect: %s", strerror(errno));
    }
    setsockopt(fd, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes);
    return fd;
}

/* The welcome, 200 OK GO, and for INFO all up to its last line, PHASE; of a panel its first state.
 */
static void shake(int fd, enum crowd_kind kind) {
    static const char *const says[] = {[CROWD_COMMAND] = "GO\n",
                                       [CROWD_INFO] = "SET CONNECTIONMODE SRCP INFO\nGO\n",
                                       [CROWD_PANEL] =
                                           "GET /live HTTP/1.1\r\nHost: localhost\r\n\r\n"};
    static const char *const last[] = {[CROWD_COMMAND] = " 200 OK GO ",
                                       [CROWD_INFO] = " PHASE ",
                                       [CROWD_PANEL] = "event: state\n"};
    static char heard[65536];
    size_t length = 0;
    const char *found = NULL;
    if (write(fd, says[kind], strlen(says[kind])) < 0) {
        figures_fail("no handshake");
    }
    while (found == NULL || strchr(found, '\n') == NULL) {
        ssize_t got = read(fd, heard + length, sizeof heard - 1 - length);
        if (got <= 0) {
            figures_fail("the handshake ended early");
        }
        length += (size_t)got;
        heard[length] = '\0';
        found = strstr(heard, last[kind]);
    }
}

void crowd_open(struct crowd *crowd, unsigned port, unsigned count, enum crowd_kind kind) {
    crowd->poll = epoll_create1(EPOLL_CLOEXEC);
    crowd->count = count;
    crowd->member = calloc(count, sizeof *crowd->member);
    for (unsigned i = 0; i < count; i++) {
        int fd = connect_to(port);
        if (kind != CROWD_BARE) {
            shake(fd, kind);
        }
        struct epoll_event event = {.events = EPOLLIN, .data = {.u32 = i}};
        crowd->member[i].fd = fd;
        epoll_ctl(crowd->poll, EPOLL_CTL_ADD, fd, &event);
    }
    if (kind == CROWD_INFO) {
        crowd_settle(crowd, SILENCE_MS); /* the later ones' beginning is news to the earlier */
    }
}

void crowd_close(struct crowd *crowd) {
    for (unsigned i = 0; i < crowd->count; i++) {
        close(crowd->member[i].fd);
    }
    close(crowd->poll);
    free(crowd->member);
}

static void say(const struct crowd_member *member, const char *line, unsigned times) {
    char text[DEPTH_MAX * LINE_MAX_SIZE];
    size_t length = strlen(line);
    for (unsigned i = 0; i < times; i++) {
        memcpy(text + i * length, line, length);
    }
    if (write(member->fd, text, times * length) != (ssize_t)(times * length)) {
        figures_fail("a client's line was not taken");
    }
}

static uint64_t lines_in(const char *text, size_t length) {
    uint64_t lines = 0;
    const char *end = text + length;
    for (const char *at = text; (at = memchr(at, '\n', (size_t)(end - at))) != NULL; at++) {
        lines++;
    }
    return lines;
}

/* Reads what has come for some; returns how many lines that one heard, and which it is. */
static uint64_t hear_one(struct crowd_member *member) {
    static char text[PIECE];
    ssize_t got = read(member->fd, text, sizeof text);
    if (got <= 0) {
        figures_fail("the server closed a session");
    }
    uint64_t lines = lines_in(text, (size_t)got);
    member->lines += lines;
    return lines;
}

static int wait_for(const struct crowd *crowd, struct epoll_event events[EVENTS]) {
    int count = epoll_wait(crowd->poll, events, EVENTS, HANGS_MS);
    if (count <= 0) {
        figures_fail("nothing came for %d s", HANGS_MS / 1000);
    }
    return count;
}

/* As many more as were answered. Returns how many answers came. */
static uint64_t ask_on(struct crowd *crowd, const char *line) {
    struct epoll_event events[EVENTS];
    uint64_t answered = 0;
    int count = wait_for(crowd, events);
    for (int i = 0; i < count; i++) {
        struct crowd_member *member = &crowd->member[events[i].data.u32];
        uint64_t lines = hear_one(member);
        answered += lines;
        uint64_t more = lines < member->left ? lines : member->left;
        member->left -= more;
        if (more > 0) {
            say(member, line, (unsigned)more);
        }
    }
    return answered;
}

static void begin(struct crowd *crowd, const char *line, unsigned depth, uint64_t each) {
    for (unsigned i = 0; i < crowd->count; i++) {
        crowd->member[i].left = each - depth;
        say(&crowd->member[i], line, depth);
    }
}

double crowd_ask(struct crowd *crowd, const char *line, unsigned depth, uint64_t each) {
    uint64_t start = figures_now_ns();
    begin(crowd, line, depth, each);
    for (uint64_t answered = 0; answered < each * crowd->count;) {
        answered += ask_on(crowd, line);
    }
    return (double)(figures_now_ns() - start) * 1e-9;
}

void crowd_forget(struct crowd *crowd) {
    for (unsigned i = 0; i < crowd->count; i++) {
        crowd->member[i].lines = 0;
    }
}

void crowd_settle(struct crowd *crowd, int silence_ms) {
    struct epoll_event events[EVENTS];
    int count;
    while ((count = epoll_wait(crowd->poll, events, EVENTS, silence_ms)) > 0) {
        for (int i = 0; i < count; i++) {
            hear_one(&crowd->member[events[i].data.u32]);
        }
    }
    crowd_forget(crowd);
}

static bool is_heard(const struct crowd *crowd, uint64_t lines) {
    for (unsigned i = 0; i < crowd->count; i++) {
        if (crowd->member[i].lines > lines) {
            figures_fail("a listener heard what nobody said");
        }
        if (crowd->member[i].lines < lines) {
            return false;
        }
    }
    return true;
}

void crowd_hear(struct crowd *crowd, uint64_t lines) {
    unsigned missing = is_heard(crowd, lines) ? 0 : 1;
    while (missing > 0) {
        struct epoll_event events[EVENTS];
        int count = wait_for(crowd, events);
        for (int i = 0; i < count; i++) {
            hear_one(&crowd->member[events[i].data.u32]);
        }
        missing = is_heard(crowd, lines) ? 0 : 1;
    }
}

void crowd_go_on(struct crowd *crowd, const char *line, unsigned depth) {
    if (line != NULL) {
        begin(crowd, line, depth, UINT64_MAX);
    }
    for (;;) {
        struct epoll_event events[EVENTS];
        int count = epoll_wait(crowd->poll, events, EVENTS, -1);
        for (int i = 0; i < count; i++) {
            struct crowd_member *member = &crowd->member[events[i].data.u32];
            uint64_t lines = hear_one(member);
            if (line != NULL && lines > 0) {
                say(member, line, (unsigned)lines);
            }
        }
    }
}
