/* held.c: what an emergency stop on a new connection takes while others hold connections that they
 * never finish: half a request's head with the panel, half a handshake with the server. */
#include "bench/bench.h"
#include "bench/children.h"
#include "bench/clients/rogues.h"
#include "bench/cores.h"
#include "bench/figures.h"

#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

enum { FEW = 200, MANY = 4000, ASKS_MOST = 50, ASKS_LEAST = 3, ASKS_S = 12, GIVES_UP_S = 15 };

/* A new client's place in line is taken from here on: connection, request, answer. */
static const char stop_panel[] =
    "POST /ask HTTP/1.1\r\nHost: localhost\r\nOrigin: http://localhost\r\n"
    "Content-Type: application/json\r\nContent-Length: 32\r\n\r\n"
    "{\"bus\":1,\"ask\":\"emergency stop\"}";
static const char stop_server[] = "GO\nSET 1 GA 1 3 1 -1\n";

static const struct way {
    const char *words;
    const char *stop, *done; /* what a client that means well sends, and how its answer is known */
    const char *half;        /* what the others send, and no more */
    bool is_panel;
} ways[] = {
    {"panel, heads", stop_panel, "\"granted\":true", "POST /ask HTTP/1.1\r\nHost: loc", true},
    {"server, handshakes", stop_server, " 200 OK\n", "SET CONNECTIONMODE SRCP", false},
};

static const struct load {
    unsigned clients;
    bool comes_again;      /* each that is ended */
    const char *asks_from; /* the others are all on 127.0.0.1 */
} loads[] = {
    {0, false, "127.0.0.2"},    {FEW, false, "127.0.0.2"}, {MANY, false, "127.0.0.2"},
    {MANY, false, "127.0.0.1"}, {MANY, true, "127.0.0.2"}, {MANY, true, "127.0.0.1"},
};

enum { WAYS = sizeof ways / sizeof ways[0], LOADS = sizeof loads / sizeof loads[0] };

/* --- the processes */

struct held {
    const struct way *way;
    const struct load *load;
    unsigned panel_port, port; /* port: of the way */
    struct rogues_tally *tally;
};

/* A port that nobody has, so that a server can be told to take it. */
static unsigned free_port(void) {
    struct sockaddr_in address = {.sin_family = AF_INET,
                                  .sin_addr = {.s_addr = htonl(INADDR_LOOPBACK)}};
    socklen_t length = sizeof address;
    int fd = socket(AF_INET, SOCK_STREAM, 0);
    if (fd < 0 || bind(fd, (struct sockaddr *)&address, sizeof address) != 0 ||
        getsockname(fd, (struct sockaddr *)&address, &length) != 0) {
        figures_fail("no port to be had");
    }
    close(fd);
    return ntohs(address.sin_port);
}

static void run_daemon(void *context, int report) {
    static const char program[] = BINARY_DIR "/drawtenderd";
    const struct held *held = context;
    char port[16];
    snprintf(port, sizeof port, "%u", held->panel_port);
    cores_keep_to(CORES_SERVER);
    dup2(report, STDERR_FILENO);
    execl(program, program, "--config", SOURCE_DIR "/tests/daemon/quiet-bridge.json", "--port", "0",
          "--panel-port", port, (char *)NULL);
}

static void run_holding(void *context) {
    const struct held *held = context;
    cores_keep_to(CORES_LOAD);
    rogues_hold(held->port, held->load->clients, held->way->half, held->load->comes_again,
                held->tally);
}

/* --- a client that means well */

static int come(const struct held *held) {
    const struct timeval most = {.tv_sec = GIVES_UP_S};
    struct sockaddr_in from = {.sin_family = AF_INET};
    struct sockaddr_in to = {.sin_family = AF_INET,
                             .sin_port = htons((uint16_t)held->port),
                             .sin_addr = {.s_addr = htonl(INADDR_LOOPBACK)}};
    inet_pton(AF_INET, held->load->asks_from, &from.sin_addr);
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    setsockopt(fd, SOL_SOCKET, SO_RCVTIMEO, &most, sizeof most);
    setsockopt(fd, SOL_SOCKET, SO_SNDTIMEO, &most, sizeof most);
    if (fd < 0 || bind(fd, (struct sockaddr *)&from, sizeof from) != 0) {
        figures_fail("an emergency stop has no socket: %s", strerror(errno));
    }
    return connect(fd, (struct sockaddr *)&to, sizeof to) == 0 ? fd : (close(fd), -1);
}

/* Returns the milliseconds from the connection's beginning to the answer's end; less than 0: it was
 * turned away, or gave up. */
static double stop_once(const struct held *held) {
    char heard[4096] = "";
    size_t length = 0;
    uint64_t began_ns = figures_now_ns();
    int fd = come(held);
    if (fd < 0) {
        return -1;
    }
    ssize_t got = send(fd, held->way->stop, strlen(held->way->stop), MSG_NOSIGNAL);
    while (strstr(heard, held->way->done) == NULL && got > 0) {
        got = recv(fd, heard + length, sizeof heard - 1 - length, 0);
        length += got > 0 ? (size_t)got : 0;
        heard[length] = '\0';
    }
    double took_ms = (double)(figures_now_ns() - began_ns) / 1e6;
    close(fd);
    return got > 0 ? took_ms : -1;
}

/* --- the table */

struct outcome {
    double median_ms, worst_ms;
    unsigned asks, turned_away;
    double came; /* a second */
};

static void rest(double seconds) {
    struct timespec time = {.tv_sec = (time_t)seconds,
                            .tv_nsec = (long)((seconds - (double)(time_t)seconds) * 1e9)};
    nanosleep(&time, NULL);
}

static void ask_often(const struct held *held, struct outcome *outcome) {
    enum { ASK_EVERY_MS = 50 };
    double took_ms[ASKS_MOST];
    unsigned taken = 0;
    uint64_t began_ns = figures_now_ns();
    uint64_t came = atomic_load(&held->tally->knocks);
    double passed_s = 0;
    while (outcome->asks < ASKS_MOST && (outcome->asks < ASKS_LEAST || passed_s < ASKS_S)) {
        double one_ms = stop_once(held);
        outcome->asks++;
        outcome->turned_away += one_ms < 0;
        if (one_ms >= 0) {
            took_ms[taken++] = one_ms;
        }
        rest(ASK_EVERY_MS / 1e3);
        passed_s = (double)(figures_now_ns() - began_ns) / 1e9;
    }
    outcome->came = (double)(atomic_load(&held->tally->knocks) - came) / passed_s;
    outcome->median_ms = taken > 0 ? figures_median(took_ms, taken) : 0;
    outcome->worst_ms = taken > 0 ? figures_quantile(took_ms, taken, 1) : 0;
}

static struct outcome measure(const struct way *way, const struct load *load) {
    struct outcome outcome = {0};
    struct held held = {.way = way, .load = load, .panel_port = free_port()};
    held.tally =
        mmap(NULL, sizeof *held.tally, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (held.tally == MAP_FAILED) {
        figures_fail("out of memory");
    }
    struct child server = child_serve(run_daemon, &held);
    held.port = way->is_panel ? held.panel_port : server.port;
    rest(0.3); /* the panel opens after the listener that was told of */
    struct child holding = {0};
    if (load->clients > 0) {
        holding = child_start(run_holding, &held);
        rest(3); /* until all have connected that can */
    }
    ask_often(&held, &outcome);
    if (load->clients > 0) {
        child_end(holding);
    }
    child_end(server);
    munmap(held.tally, sizeof *held.tally);
    return outcome;
}

static void print_outcome(const struct load *load, const struct outcome *outcome,
                          const struct outcome *bare) {
    enum { GOAL_MS = 100 };
    char who[64] = "nobody";
    if (load->clients > 0) {
        snprintf(who, sizeof who, "%u%s, %s address", load->clients,
                 load->comes_again ? " that come again" : "",
                 strcmp(load->asks_from, "127.0.0.1") == 0 ? "same" : "another");
    }
    printf("  %-36s %9.2f %9.2f %8.1f %6u of %-3u", who, outcome->median_ms, outcome->worst_ms,
           outcome->worst_ms / bare->worst_ms, outcome->turned_away, outcome->asks);
    if (load->clients > 0 && outcome->came >= 1) {
        printf(" %9.0f", outcome->came);
    } else {
        printf(" %9s", "");
    }
    bool is_met = outcome->worst_ms < GOAL_MS && outcome->turned_away == 0;
    printf("  %s\n", load->clients < MANY || load->comes_again ? ""
                     : is_met                                  ? "< 100 ms met"
                                                               : "< 100 ms MISSED");
    fflush(stdout);
}

void bench_held(const struct bench *bench) {
    (void)bench;
    printf("\nemergency stop on a new connection, while others hold theirs unfinished\n"
           "  %-36s %9s %9s %8s %13s %9s\n",
           "they are", "median ms", "worst ms", "times", "turned away", "came/s");
    for (size_t w = 0; w < WAYS; w++) {
        struct outcome bare = {0};
        printf("%s\n", ways[w].words);
        for (size_t i = 0; i < LOADS; i++) {
            struct outcome outcome = measure(&ways[w], &loads[i]);
            bare = i == 0 ? outcome : bare;
            print_outcome(&loads[i], &outcome, &bare);
        }
    }
}
