/* lcc.c: a bridge as a node of LCC, beside the same bridge asked by SRCP. */
#include "bench/bench.h"
#include "bench/children.h"
#include "bench/cores.h"
#include "bench/figures.h"
#include "bench/table.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

enum { STOPS = 200, ASKED = 20000, FRAMES_A_SECOND = 10000, HANGS_S = 120 };

static const double tail = 0.999;

/* --- connections, one line or frame at a time */

struct peer {
    int fd;
    char text[65536];
    size_t taken, length;
};

static struct sockaddr_in loopback(unsigned port) {
    return (struct sockaddr_in){.sin_family = AF_INET,
                                .sin_addr.s_addr = htonl(INADDR_LOOPBACK),
                                .sin_port = htons((uint16_t)port)};
}

static void open_peer(struct peer *peer, unsigned port) {
    static const struct timeval hangs = {.tv_sec = HANGS_S};
    struct sockaddr_in to = loopback(port);
    int yes = 1;
    *peer = (struct peer){.fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)};
    if (connect(peer->fd, (const struct sockaddr *)&to, sizeof to) != 0) {
        figures_fail("no connection to port %u", port);
    }
    setsockopt(peer->fd, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes);
    setsockopt(peer->fd, SOL_SOCKET, SO_RCVTIMEO, &hangs, sizeof hangs);
}

static void send_text(struct peer *peer, const char *text) {
    if (send(peer->fd, text, strlen(text), MSG_NOSIGNAL) != (ssize_t)strlen(text)) {
        figures_fail("a server takes nothing more");
    }
}

/* The next line; frames end with one, too. */
static const char *next_line(struct peer *peer) {
    for (;;) {
        char *at = peer->text + peer->taken;
        char *end = memchr(at, '\n', peer->length - peer->taken);
        if (end != NULL) {
            *end = '\0';
            peer->taken += (size_t)(end - at) + 1;
            return at;
        }
        memmove(peer->text, at, peer->length - peer->taken);
        peer->length -= peer->taken;
        peer->taken = 0;
        ssize_t got =
            recv(peer->fd, peer->text + peer->length, sizeof peer->text - peer->length, 0);
        if (got <= 0) {
            figures_fail("what was waited for never came");
        }
        peer->length += (size_t)got;
    }
}

/* Until a line has these words. */
static void await(struct peer *peer, const char *words) {
    while (strstr(next_line(peer), words) == NULL) {
    }
}

static void enter(struct peer *peer, unsigned port, const char *mode) {
    open_peer(peer, port);
    next_line(peer);
    send_text(peer, mode);
    next_line(peer);
    send_text(peer, "GO\n");
    next_line(peer);
}

/* --- the server */

struct lcc_server {
    char config[64];
    char port[8];
    const char *pace;
    unsigned lcc;
};

static unsigned free_port(void) {
    struct sockaddr_in own = loopback(0);
    socklen_t size = sizeof own;
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (bind(fd, (const struct sockaddr *)&own, size) != 0 ||
        getsockname(fd, (struct sockaddr *)&own, &size) != 0) {
        figures_fail("no port to be had");
    }
    close(fd);
    return ntohs(own.sin_port);
}

static void run_daemon(void *context, int report) {
    const struct lcc_server *server = context;
    static const char program[] = BINARY_DIR "/drawtenderd";
    cores_keep_to(CORES_SERVER);
    dup2(report, STDERR_FILENO);
    execl(program, program, "--config", server->config, "--port", server->port, "--pace",
          server->pace, (char *)NULL);
}

static struct child serve(const struct bench *bench, struct lcc_server *server, const char *pace) {
    server->pace = pace;
    server->lcc = free_port();
    snprintf(server->port, sizeof server->port, "%u", free_port());
    bench_write_node(bench, server->lcc, server->config);
    return child_serve(run_daemon, server);
}

/* --- from a request to what it does */

struct asked {
    struct peer *asks, *told;
    const char *stop, *raise, *rest, *moves;
};

/* Returns how long a stop took until it was told that the span is at rest. Each time the span moves
 * again the other way: it stays where it is. */
static double stop_us(const struct asked *asked, const char *again) {
    static const struct timespec pause = {.tv_nsec = 100000000};
    nanosleep(&pause, NULL); /* what is told besides has been */
    uint64_t began_ns = figures_now_ns();
    send_text(asked->asks, asked->stop);
    await(asked->told, asked->rest);
    double us = (double)(figures_now_ns() - began_ns) / 1000;
    nanosleep(&pause, NULL);
    send_text(asked->asks, again);
    await(asked->told, asked->moves);
    return us;
}

static void drain(struct peer *peer) {
    char text[65536];
    while (recv(peer->fd, text, sizeof text, MSG_DONTWAIT) > 0) {
    }
    peer->taken = peer->length = 0;
}

static void measure_stops(unsigned srcp, unsigned lcc) {
    static struct peer command, info, node;
    static double us[2][STOPS];
    enter(&command, srcp, "SET CONNECTIONMODE SRCP COMMAND\n");
    enter(&info, srcp, "SET CONNECTIONMODE SRCP INFO\n");
    open_peer(&node, lcc);
    send_text(&node, ":X1997034CN;"); /* once its last event has come the node is there */
    await(&node, "N010000000000FFFF;");
    const struct asked by_lcc = {&node,
                                 &node,
                                 ":X195B434CN0A44520000011002;",
                                 ":X195B434CN0A44520000011000;",
                                 "N0A44520000010003;",
                                 "N0A44520000010002;"};
    const struct asked by_srcp = {
        &command,         &info,           "SET 1 GA 1 2 1 -1\n", "SET 1 GA 1 1 1 -1\n",
        " INFO 1 FB 4 0", " INFO 1 FB 4 1"};
    static const struct timespec away = {.tv_sec = 2}; /* there is room to go back */
    send_text(&command, by_srcp.raise);
    await(&info, by_srcp.moves);
    nanosleep(&away, NULL);
    for (unsigned i = 0; i < STOPS; i++) {
        bool is_up = i % 2 == 1;
        drain(&node);
        us[0][i] = stop_us(&by_lcc, is_up ? by_lcc.raise : ":X195B434CN0A44520000011001;");
        drain(&info);
        us[1][i] = stop_us(&by_srcp, is_up ? "SET 1 GA 1 0 1 -1\n" : by_srcp.raise);
    }
    static const struct goal within = {GOAL_AT_MOST, 1.1};
    static const struct goal none = {GOAL_NONE, 0};
    double slow[2] = {figures_quantile(us[0], STOPS, tail), figures_quantile(us[1], STOPS, tail)};
    double usual[2] = {figures_median(us[0], STOPS), figures_median(us[1], STOPS)};
    table_pair("stop to \"at rest\": LCC, SRCP; median", "us", &usual[0], &usual[1], 1, none);
    table_pair("  the slowest of 200", "us", &slow[0], &slow[1], 1, within);
    close(command.fd);
    close(info.fd);
    close(node.fd);
}

/* --- a flood */

static void flood(void *context) {
    static const char frame[] = ":X195B4111N0102030405060708;\n";
    static const struct timespec look = {.tv_nsec = 1000000};
    static struct peer node;
    cores_keep_to(CORES_LOAD);
    open_peer(&node, *(unsigned *)context);
    uint64_t began_ns = figures_now_ns();
    for (uint64_t sent = 0;;) {
        for (; sent < (figures_now_ns() - began_ns) * FRAMES_A_SECOND / 1000000000; sent++) {
            send_text(&node, frame);
        }
        drain(&node);
        nanosleep(&look, NULL);
    }
}

static double asking_us(unsigned srcp) {
    static struct peer command;
    static double us[ASKED];
    enter(&command, srcp, "SET CONNECTIONMODE SRCP COMMAND\n");
    for (unsigned i = 0; i < ASKED; i++) {
        uint64_t began_ns = figures_now_ns();
        send_text(&command, bench_request);
        next_line(&command);
        us[i] = (double)(figures_now_ns() - began_ns) / 1000;
    }
    close(command.fd);
    return figures_quantile(us, ASKED, tail);
}

static void measure_flood(unsigned srcp, unsigned lcc) {
    static const struct goal within = {GOAL_AT_MOST, 1.5};
    double flooded[BENCH_ROUNDS], still[BENCH_ROUNDS];
    for (unsigned i = 0; i < BENCH_ROUNDS; i++) {
        still[i] = asking_us(srcp);
        struct child other = child_start(flood, &lcc);
        flooded[i] = asking_us(srcp);
        child_end(other);
    }
    table_pair("SRCP 99.9 %: 10,000 LCC frames/s, none", "us", flooded, still, BENCH_ROUNDS,
               within);
}

/* What a node on the bus adds. First the timers run out that a bridge begins with: approach locking
 * takes the longest of them, 17 s. */
static void measure_rest(const struct bench *bench) {
    static const struct timespec settle = {.tv_sec = 25};
    static const struct timespec rest = {.tv_sec = 10};
    static struct peer node;
    struct lcc_server server;
    struct child with = serve(bench, &server, "1");
    struct child without = child_serve(bench_daemon, (void *)bench);
    open_peer(&node, server.lcc);
    nanosleep(&settle, NULL);
    long before = figures_wakeups(with.pid) - figures_wakeups(without.pid);
    nanosleep(&rest, NULL);
    double more = (double)(figures_wakeups(with.pid) - figures_wakeups(without.pid) - before);
    close(node.fd);
    child_end(with);
    child_end(without);
    unlink(server.config);
    table_alone("wake-ups in 10 s at rest that LCC adds", "", more, (struct goal){GOAL_AT_MOST, 0});
}

void bench_lcc(const struct bench *bench) {
    measure_rest(bench);
    struct lcc_server server;
    struct child daemon =
        serve(bench, &server, "10"); /* stopped spans are soon on their way again */
    measure_flood(daemon.port, server.lcc);
    measure_stops(daemon.port, server.lcc);
    child_end(daemon);
    unlink(server.config);
}
