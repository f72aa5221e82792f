#include "bench/bench.h"
#include "bench/children.h"
#include "bench/clients/crowd.h"
#include "bench/clients/rogues.h"
#include "bench/cores.h"
#include "bench/edge_server.h"
#include "bench/figures.h"
#include "bench/table.h"

#include <stdbool.h>
#include <stdio.h>
#include <sys/mman.h>
#include <time.h>
#include <unistd.h>

enum { CLIENTS_MAX = 4, PARTS = 3, FEW_FILES = 400, KNOCKS_A_SECOND = 5000 };

static const double parts[PARTS] = {0.5, 0.99, 0.999};

/* --- who may run where, and before whom */

static const struct arrangement {
    const char *words;
    bool is_apart, is_realtime;
} arrangements[] = {
    {"the server on a core of its own, with --realtime", true, true},
    {"server and load share all cores, at ordinary priority", false, false},
};

/* --- loads */

struct work {
    struct edge_setup server;
    struct edge_results *results; /* shared by the processes, as is the tally in it */
    bool is_apart;
    int pipe[2];
    unsigned port;
};

/* The load stands for other machines: it shall load the server, not take its processor away. */
static void stand_back(const struct work *work) {
    enum { FAR = 10 };
    cores_keep_to(work->is_apart ? CORES_LOAD : CORES_ALL);
    if (nice(FAR) < 0) {
        figures_fail("not nice");
    }
}

static void run_listeners(void *context) {
    const struct work *work = context;
    stand_back(work);
    struct crowd crowd;
    crowd_open(&crowd, work->port, BENCH_MANY / 2, CROWD_INFO);
    crowd_go_on(&crowd, NULL, 0);
}

static void run_askers(void *context) {
    const struct work *work = context;
    stand_back(work);
    struct crowd crowd;
    crowd_open(&crowd, work->port, BENCH_MANY / 2, CROWD_COMMAND);
    crowd_go_on(&crowd, bench_request, 1);
}

/* What tablets do most of the time. */
static void run_panels(void *context) {
    enum { TABLETS = 50 };
    const struct work *work = context;
    stand_back(work);
    struct crowd crowd;
    crowd_open(&crowd, work->results->panel_port, TABLETS, CROWD_PANEL);
    crowd_go_on(&crowd, NULL, 0);
}

static void run_knocking(void *context) {
    const struct work *work = context;
    stand_back(work);
    rogues_knock(work->port, KNOCKS_A_SECOND, &work->results->rogues);
}

static void run_flood(void *context) {
    const struct work *work = context;
    stand_back(work);
    rogues_flood(work->port, 200, &work->results->rogues);
}

static void run_dawdling(void *context) {
    const struct work *work = context;
    stand_back(work);
    rogues_dawdle(work->port, 200);
}

static void run_hoarding(void *context) {
    const struct work *work = context;
    stand_back(work);
    rogues_hoard(work->port, 2 * FEW_FILES);
}

static const struct load {
    const char *what;
    void (*client[CLIENTS_MAX])(void *context); /* each a process */
    unsigned files;                             /* descriptors that the server has; 0: enough */
    bool has_goal;
} loads[] = {
    {"nobody", {NULL}, 0, false},
    {"1,000 sessions", {run_listeners, run_askers}, 0, true},
    {"50 panels", {run_panels}, 0, true},
    {"hostile", {run_knocking, run_flood, run_dawdling}, 0, false},
    {"no descriptors", {run_knocking, run_flood, run_hoarding}, FEW_FILES, false},
};

enum { LOADS = sizeof loads / sizeof loads[0] };

/* --- one run */

struct outcome {
    double reaction[PARTS], own[PARTS], late[PARTS]; /* us */
    unsigned edges;
    bool is_realtime;
    double knocks, lines; /* a second, of the rogues */
};

static void rest(unsigned seconds) {
    struct timespec time = {.tv_sec = seconds};
    nanosleep(&time, NULL);
}

static void run_server(void *context, int report) {
    struct work *work = context;
    close(work->pipe[1]);
    edge_server_run(&work->server, report, work->pipe[0], work->results);
}

static void make_edges(const struct work *work) {
    static const struct timespec look = {.tv_nsec = 50000000};
    work->results->edges = 0;
    if (write(work->pipe[1], "", 1) != 1) {
        figures_fail("no edges");
    }
    while (!atomic_load(&work->results->is_done)) {
        nanosleep(&look, NULL);
    }
}

/* Nothing but the load: how late the control cycle is. */
static void watch_cycle(const struct work *work, struct outcome *outcome) {
    enum { UNDISTURBED_S = 8 };
    struct edge_results *results = work->results;
    results->turns = 0;
    uint64_t knocks = atomic_load(&results->rogues.knocks);
    uint64_t lines = atomic_load(&results->rogues.lines);
    rest(UNDISTURBED_S);
    outcome->knocks = (double)(atomic_load(&results->rogues.knocks) - knocks) / UNDISTURBED_S;
    outcome->lines = (double)(atomic_load(&results->rogues.lines) - lines) / UNDISTURBED_S;
}

/* Ends the program where the run was not what it says. */
static void check(const struct work *work, const struct load *load, struct child server) {
    const struct edge_results *results = work->results;
    if (results->edges < work->results->wanted / 4 || results->turns == 0) {
        figures_fail("%u of %u edges found the bridge lined and were timed", results->edges,
                     work->results->wanted);
    }
    if (load->files > 0 && figures_files(server.pid) < load->files) {
        figures_fail("the server had descriptors left");
    }
}

static void work_out(struct edge_results *results, struct outcome *outcome) {
    outcome->edges = results->edges;
    outcome->is_realtime = results->is_realtime;
    for (unsigned i = 0; i < PARTS; i++) {
        outcome->reaction[i] = figures_quantile(results->reaction_us, results->edges, parts[i]);
        outcome->own[i] = figures_quantile(results->own_us, results->edges, parts[i]);
        outcome->late[i] = figures_quantile(results->late_us, results->turns, parts[i]);
    }
}

static void start_clients(struct work *work, const struct load *load,
                          struct child clients[CLIENTS_MAX], unsigned *count) {
    while (*count < CLIENTS_MAX && load->client[*count] != NULL) {
        clients[*count] = child_start(load->client[*count], work);
        ++*count;
    }
}

static struct outcome measure(const struct bench *bench, const struct arrangement *arrangement,
                              const struct load *load) {
    struct edge_results *results =
        mmap(NULL, sizeof *results, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    struct work work = {.server = {.config = bench->gate,
                                   .files = load->files,
                                   .is_apart = arrangement->is_apart,
                                   .is_realtime = arrangement->is_realtime},
                        .results = results,
                        .is_apart = arrangement->is_apart};
    struct child clients[CLIENTS_MAX];
    struct outcome outcome = {0};
    unsigned count = 0;
    if (results == MAP_FAILED || pipe(work.pipe) != 0) {
        figures_fail("out of memory");
    }
    results->wanted = bench->edges;
    struct child server = child_serve(run_server, &work);
    work.port = server.port;
    start_clients(&work, load, clients, &count);
    rest(2); /* until all have connected */
    make_edges(&work);
    watch_cycle(&work, &outcome);
    check(&work, load, server);
    for (unsigned i = 0; i < count; i++) {
        child_end(clients[i]);
    }
    child_end(server);
    work_out(results, &outcome);
    close(work.pipe[0]);
    close(work.pipe[1]);
    munmap(results, sizeof *results);
    return outcome;
}

/* --- the table */

static void print_outcome(const struct load *load, const struct outcome *outcome,
                          const struct outcome *bare) {
    const double *const groups[] = {outcome->reaction, outcome->own, outcome->late};
    static const struct goal within = {GOAL_AT_MOST, 3};
    static const struct goal none = {GOAL_NONE, 0};
    printf("%-16s %6u", load->what, outcome->edges);
    for (unsigned g = 0; g < 3; g++) {
        printf(" |%7.0f %7.0f %7.0f", groups[g][0], groups[g][1], groups[g][2]);
    }
    if (outcome != bare) {
        double ratio = outcome->reaction[2] / bare->reaction[2];
        printf(" | 99.9 %%: %.1f times %s; lateness %.1f times", ratio,
               table_verdict(ratio, load->has_goal ? within : none),
               outcome->late[2] / bare->late[2]);
    }
    printf("\n");
    if (outcome->knocks + outcome->lines > 0) {
        printf("  meanwhile, a second: %.0f clients came and left, %.0f floods were taken\n",
               outcome->knocks, outcome->lines);
    }
    fflush(stdout);
}

static void measure_all(const struct bench *bench, const struct arrangement *arrangement) {
    struct outcome outcome[LOADS];
    printf("\n%s; median, 99 %% and 99.9 %%, us\n"
           "%-16s %6s | %-23s| %-23s| %-23s\n",
           arrangement->words, "load", "edges", "edge to output", "the server's own part",
           "lateness of the cycle");
    for (size_t i = 0; i < LOADS; i++) {
        outcome[i] = measure(bench, arrangement, &loads[i]);
        print_outcome(&loads[i], &outcome[i], &outcome[0]);
    }
    if (arrangement->is_realtime && !outcome[0].is_realtime) {
        printf("  real time was not permitted here: all of this at ordinary priority\n");
    }
}

void bench_reaction(const struct bench *bench) {
    printf("\nedge: a contact breaks; output: signals at stop and power off\n");
    for (size_t i = 0; i < sizeof arrangements / sizeof arrangements[0]; i++) {
        if (!arrangements[i].is_apart || cores_can_part()) {
            measure_all(bench, &arrangements[i]);
        }
    }
}
