/* bench.c: measures drawtenderd beside a bare libevent line echo, in one run. Only ratios mean
 * anything: the machine is what it is. */
#include "bench/children.h"
#include "bench/crowd.h"
#include "bench/echo.h"
#include "bench/edge_server.h"
#include "bench/figures.h"
#include "bench/rogues.h"

#include <cjson/cJSON.h>
#include <fcntl.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <time.h>
#include <unistd.h>

enum { ROUNDS = 5, MANY = 1000, FAN_ROUNDS = 200 };

static const char request[] = "GET 1 FB 1\n";

struct bench {
    char config[64]; /* the quiet Kettle Narrows, for many sessions */
    char gate[64];   /* the garden gate likewise */
    struct child daemon, echo;
    unsigned edges;
};

/* --- the table */

/* A ratio above `goal`, or below it, misses it; NAN: there is none. */
static void row(const char *what, double ours, double theirs, const char *unit, double ratio,
                const char *goal, bool is_met) {
    printf("%-44s %12.4g %12.4g %-9s %7.3g  %-9s %s\n", what, ours, theirs, unit, ratio, goal,
           goal[0] == '\0' ? "" : (is_met ? "met" : "MISSED"));
    fflush(stdout);
}

static void heading(void) {
    printf("%-44s %12s %12s %-9s %7s  %-9s\n", "median of each, taken in turns", "drawtender",
           "bare", "", "ratio", "goal");
}

/* --- servers */

static void run_echo(void *context, int report) {
    (void)context;
    echo_run(report);
}

static void run_daemon(void *context, int report) {
    const struct bench *bench = context;
    static const char program[] = BINARY_DIR "/drawtenderd";
    dup2(report, STDERR_FILENO);
    execl(program, program, "--config", bench->config, "--port", "0", (char *)NULL);
}

/* The example with a server for many. */
static void write_config(const char *example, char path[64]) {
    char *text = calloc(1, 1 << 20);
    FILE *file = fopen(example, "r");
    if (file == NULL || fread(text, 1, (1 << 20) - 1, file) == 0) {
        figures_fail("%s cannot be read", example);
    }
    fclose(file);
    cJSON *tree = cJSON_Parse(text);
    free(text);
    cJSON_DeleteItemFromObject(tree, "server");
    cJSON_AddItemToObject(tree, "server",
                          cJSON_Parse("{\"sessions\": 5000, \"backlog\": \"16 MiB\", "
                                      "\"listeners\": [{\"may\": \"administer\"}]}"));
    text = cJSON_PrintUnformatted(tree);
    snprintf(path, 64, "/tmp/drawtender-bench-XXXXXX");
    int fd = mkstemp(path);
    if (fd < 0 || write(fd, text, strlen(text)) < 0) {
        figures_fail("no temporary file to be had");
    }
    close(fd);
    cJSON_free(text);
    cJSON_Delete(tree);
}

/* --- requests and answers */

struct asking {
    const char *what;
    unsigned clients, depth;
    uint64_t each;
    bool is_time; /* the time of one, not the number a second, is of interest */
    double goal;
};

static void measure_asking(const struct bench *bench, const struct asking *asking) {
    double figure[2][ROUNDS];
    double ratio[ROUNDS];
    double cpu_us[2][ROUNDS];
    const struct child servers[] = {bench->daemon, bench->echo};
    struct crowd crowd[2];
    crowd_open(&crowd[0], servers[0].port, asking->clients, CROWD_COMMAND);
    crowd_open(&crowd[1], servers[1].port, asking->clients, CROWD_BARE);
    double lines = (double)asking->each * asking->clients;
    for (unsigned round = 0; round < ROUNDS; round++) {
        for (unsigned s = 0; s < 2; s++) {
            double before_s = figures_cpu_s(servers[s].pid);
            double took_s = crowd_ask(&crowd[s], request, asking->depth, asking->each);
            figure[s][round] = asking->is_time ? took_s / lines * 1e6 : lines / took_s;
            cpu_us[s][round] = (figures_cpu_s(servers[s].pid) - before_s) / lines * 1e6;
        }
        ratio[round] = figure[0][round] / figure[1][round];
    }
    crowd_close(&crowd[0]);
    crowd_close(&crowd[1]);
    char goal[16];
    double of_both = figures_median(ratio, ROUNDS);
    snprintf(goal, sizeof goal, "%s %g", asking->is_time ? "<=" : ">=", asking->goal);
    row(asking->what, figures_median(figure[0], ROUNDS), figures_median(figure[1], ROUNDS),
        asking->is_time ? "us" : "lines/s", of_both, goal,
        asking->is_time ? of_both <= asking->goal : of_both >= asking->goal);
    double ours = figures_median(cpu_us[0], ROUNDS);
    double theirs = figures_median(cpu_us[1], ROUNDS);
    row("  processor time of the server", ours, theirs, "us/line", ours / theirs, "", true);
}

/* --- fan-out */

/* One line to everyone, again when all have it. */
static double fan_out(struct crowd *listeners, struct crowd *sender, const char *line) {
    uint64_t start = figures_now_ns();
    for (uint64_t i = 1; i <= FAN_ROUNDS; i++) {
        crowd_ask(sender, line, 1, 1);
        crowd_hear(listeners, i);
    }
    crowd_forget(listeners);
    return (double)FAN_ROUNDS * listeners->count / ((double)(figures_now_ns() - start) * 1e-9);
}

static void measure_fan_out(const struct bench *bench) {
    /* What the listeners hear has the same length, its time stamp included. */
    static const char ours[] = "SET 0 GM 0 0 CREW the 4:15 freight is late again\n";
    static const char bare[] = "* 1767225600.000 100 INFO 0 GM 0 0 CREW the 4:15 freight is late\n";
    const struct child servers[] = {bench->daemon, bench->echo};
    static const enum crowd_kind kinds[][2] = {{CROWD_COMMAND, CROWD_INFO},
                                               {CROWD_BARE, CROWD_BARE}};
    struct crowd sender[2];
    struct crowd listeners[2];
    double rate[2][ROUNDS];
    double ratio[ROUNDS];
    for (unsigned s = 0; s < 2; s++) {
        crowd_open(&sender[s], servers[s].port, 1, kinds[s][0]);
        crowd_open(&listeners[s], servers[s].port, MANY, kinds[s][1]);
    }
    for (unsigned round = 0; round < ROUNDS; round++) {
        rate[0][round] = fan_out(&listeners[0], &sender[0], ours);
        rate[1][round] = fan_out(&listeners[1], &sender[1], bare);
        ratio[round] = rate[0][round] / rate[1][round];
    }
    for (unsigned s = 0; s < 2; s++) {
        crowd_close(&listeners[s]);
        crowd_close(&sender[s]);
    }
    double of_both = figures_median(ratio, ROUNDS);
    row("INFO to 1,000 sessions", figures_median(rate[0], ROUNDS), figures_median(rate[1], ROUNDS),
        "lines/s", of_both, ">= 0.8", of_both >= 0.8);
}

/* --- memory, rest */

static void measure_memory(struct bench *bench) {
    static const struct {
        const char *what;
        enum crowd_kind kind;
    } kinds[] = {{"memory of a session, COMMAND", CROWD_COMMAND},
                 {"memory of a session, INFO", CROWD_INFO}};
    for (unsigned k = 0; k < 2; k++) {
        struct child daemon = child_serve(run_daemon, bench); /* nothing used before */
        double before = figures_memory_bytes(daemon.pid);
        struct crowd crowd;
        crowd_open(&crowd, daemon.port, MANY, kinds[k].kind);
        double per_session = (figures_memory_bytes(daemon.pid) - before) / MANY / 1024;
        crowd_close(&crowd);
        row(kinds[k].what, per_session, (double)NAN, "KiB", (double)NAN, "< 6 KiB",
            per_session < 6);
        child_end(daemon);
    }
}

static void measure_rest(const struct bench *bench) {
    struct crowd crowd;
    crowd_open(&crowd, bench->daemon.port, 10, CROWD_INFO);
    static const struct timespec settle = {.tv_sec = 1};
    static const struct timespec rest = {.tv_sec = 3};
    nanosleep(&settle, NULL);
    long before = figures_wakeups(bench->daemon.pid);
    nanosleep(&rest, NULL);
    double wakeups = (double)(figures_wakeups(bench->daemon.pid) - before);
    crowd_close(&crowd);
    row("wake-ups in 3 s at rest, 10 listeners", wakeups, (double)NAN, "", (double)NAN, "0",
        wakeups == 0);
}

/* --- reaction */

struct edge_work {
    const struct bench *bench;
    struct edge_results *results;
    int pipe[2];
    unsigned port;
};

static void run_edge_server(void *context, int report) {
    struct edge_work *work = context;
    close(work->pipe[1]);
    edge_server_run(work->bench->gate, report, work->pipe[0], work->results);
}

static void make_edges(const struct edge_work *work) {
    static const struct timespec look = {.tv_nsec = 50000000};
    work->results->edges = 0;
    if (write(work->pipe[1], "", 1) != 1) {
        figures_fail("no edges");
    }
    while (!atomic_load(&work->results->is_done)) {
        nanosleep(&look, NULL);
    }
}

/* The load stands for other machines: it shall load the server, not take its processor away. */
static void stand_back(void) {
    enum { FAR = 10 };
    if (nice(FAR) < 0) {
        figures_fail("not nice");
    }
}

static void run_listeners(void *context) {
    const struct edge_work *work = context;
    stand_back();
    struct crowd crowd;
    crowd_open(&crowd, work->port, MANY / 2, CROWD_INFO);
    crowd_go_on(&crowd, NULL, 0);
}

static void run_askers(void *context) {
    const struct edge_work *work = context;
    stand_back();
    struct crowd crowd;
    crowd_open(&crowd, work->port, MANY / 2, CROWD_COMMAND);
    crowd_go_on(&crowd, request, 1);
}

static void run_knocking(void *context) {
    stand_back();
    rogues_knock(((const struct edge_work *)context)->port, 5000);
}

static void run_flood(void *context) {
    stand_back();
    rogues_flood(((const struct edge_work *)context)->port, 200);
}

static void run_dawdling(void *context) {
    stand_back();
    rogues_dawdle(((const struct edge_work *)context)->port, 200);
}

struct load {
    const char *what;
    void (*client[4])(void *context); /* each a process */
};

struct outcome {
    double reaction[3], own[3], late[3]; /* median, 99 %, 99.9 %; us */
    unsigned edges, turns;
};

static const double parts[] = {0.5, 0.99, 0.999};

static struct outcome measure_edges(const struct bench *bench, const struct load *load) {
    struct edge_results *results =
        mmap(NULL, sizeof *results, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    struct edge_work work = {.bench = bench, .results = results};
    if (results == MAP_FAILED || pipe(work.pipe) != 0) {
        figures_fail("no memory");
    }
    struct child server = child_serve(run_edge_server, &work);
    work.port = server.port;
    struct child clients[4];
    unsigned count = 0;
    for (; count < 4 && load->client[count] != NULL; count++) {
        clients[count] = child_start(load->client[count], &work);
    }
    static const struct timespec settle = {.tv_sec = 2}; /* until all have connected */
    nanosleep(&settle, NULL);
    results->wanted = bench->edges;
    make_edges(&work);
    results->turns = 0;
    static const struct timespec undisturbed = {.tv_sec = 8};
    nanosleep(&undisturbed, NULL);
    for (unsigned i = 0; i < count; i++) {
        child_end(clients[i]);
    }
    child_end(server);
    if (results->edges < bench->edges / 4 || results->turns == 0) {
        figures_fail("%u of %u edges found the bridge lined and were timed", results->edges,
                     bench->edges);
    }
    struct outcome outcome = {.edges = results->edges, .turns = results->turns};
    for (unsigned i = 0; i < 3; i++) {
        outcome.reaction[i] = figures_quantile(results->reaction_us, results->edges, parts[i]);
        outcome.own[i] = figures_quantile(results->own_us, results->edges, parts[i]);
        outcome.late[i] = figures_quantile(results->late_us, results->turns, parts[i]);
    }
    close(work.pipe[0]);
    close(work.pipe[1]);
    munmap(results, sizeof *results);
    return outcome;
}

static void print_outcome(const char *what, const struct outcome *outcome) {
    const double *const groups[] = {outcome->reaction, outcome->own, outcome->late};
    printf("%-16s %6u", what, outcome->edges);
    for (unsigned g = 0; g < 3; g++) {
        printf(" |%7.0f %7.0f %7.0f", groups[g][0], groups[g][1], groups[g][2]);
    }
}

static void measure_reaction(const struct bench *bench) {
    static const struct load none = {"nobody", {NULL}};
    static const struct load loads[] = {
        {"1,000 sessions", {run_listeners, run_askers, NULL}},
        {"rogues", {run_knocking, run_flood, run_dawdling, NULL}},
    };
    printf("\nmedian, 99 %% and 99.9 %%, us; edge: a contact breaks; output: signals at stop and "
           "power "
           "off\n%-16s %6s | %-23s| %-23s| %-23s\n",
           "load", "edges", "edge to output", "the server's own part", "lateness of the cycle");
    struct outcome bare = measure_edges(bench, &none);
    print_outcome(none.what, &bare);
    for (size_t i = 0; i < sizeof loads / sizeof loads[0]; i++) {
        struct outcome loaded = measure_edges(bench, &loads[i]);
        printf("\n");
        print_outcome(loads[i].what, &loaded);
        double ratio = loaded.reaction[2] / bare.reaction[2];
        printf(" | 99.9 %%: %.1f times%s", ratio,
               i > 0 ? "" : (ratio <= 3 ? " (goal 3, met)" : " (goal 3, MISSED)"));
        fflush(stdout);
    }
    printf("\n");
}

int main(int count, char **arguments) {
    struct bench bench = {.edges = count > 1 ? (unsigned)atol(arguments[1]) : 4000};
    if (bench.edges == 0 || bench.edges > EDGES_MAX) {
        figures_fail("wanted a number of edges from 1 to %d", EDGES_MAX);
    }
    struct rlimit files;
    getrlimit(RLIMIT_NOFILE, &files);
    files.rlim_cur = files.rlim_max < 8192 ? files.rlim_max : 8192;
    setrlimit(RLIMIT_NOFILE, &files);
    write_config(SOURCE_DIR "/tests/daemon/quiet-bridge.json", bench.config);
    write_config(SOURCE_DIR "/config/garden-gate.json", bench.gate);
    bench.echo = child_serve(run_echo, NULL);
    bench.daemon = child_serve(run_daemon, &bench);
    static const struct asking askings[] = {
        {"round trip, 1 client", 1, 1, 4000, true, 1.1},
        {"50 clients, 1 line in flight", 50, 1, 1000, false, 0.9},
        {"50 clients, 16 lines in flight", 50, 16, 4000, false, 0.9},
        {"1,000 clients, 1 line in flight", MANY, 1, 40, false, 0.9},
    };
    heading();
    for (size_t i = 0; i < sizeof askings / sizeof askings[0]; i++) {
        measure_asking(&bench, &askings[i]);
    }
    measure_fan_out(&bench);
    measure_memory(&bench);
    measure_rest(&bench);
    child_end(bench.daemon);
    child_end(bench.echo);
    measure_reaction(&bench);
    unlink(bench.config);
    unlink(bench.gate);
    return 0;
}
