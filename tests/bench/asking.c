#include "bench/bench.h"
#include "bench/children.h"
#include "bench/clients/crowd.h"
#include "bench/figures.h"
#include "bench/table.h"

#include <stdbool.h>

struct asking {
    const char *what;
    unsigned clients, depth;
    uint64_t each;
    bool is_time; /* the time of one, not the number a second, is of interest */
    struct goal goal;
};

static const struct asking askings[] = {
    {"round trip, 1 client", 1, 1, 4000, true, {GOAL_AT_MOST, 1.1}},
    {"50 clients, 1 line in flight", 50, 1, 1000, false, {GOAL_AT_LEAST, 0.9}},
    {"50 clients, 16 lines in flight", 50, 16, 4000, false, {GOAL_AT_LEAST, 0.9}},
    {"1,000 clients, 1 line in flight", BENCH_MANY, 1, 40, false, {GOAL_AT_LEAST, 0.9}},
};

static void measure(const struct child servers[2], const struct asking *asking) {
    static const struct goal none = {GOAL_NONE, 0};
    double figure[2][BENCH_ROUNDS];
    double cpu_us[2][BENCH_ROUNDS];
    struct crowd crowd[2];
    crowd_open(&crowd[0], servers[0].port, asking->clients, CROWD_COMMAND);
    crowd_open(&crowd[1], servers[1].port, asking->clients, CROWD_BARE);
    double lines = (double)asking->each * asking->clients;
    for (unsigned round = 0; round < BENCH_ROUNDS; round++) {
        for (unsigned s = 0; s < 2; s++) {
            double before_s = figures_cpu_s(servers[s].pid);
            double took_s = crowd_ask(&crowd[s], bench_request, asking->depth, asking->each);
            figure[s][round] = asking->is_time ? took_s / lines * 1e6 : lines / took_s;
            cpu_us[s][round] = (figures_cpu_s(servers[s].pid) - before_s) / lines * 1e6;
        }
    }
    crowd_close(&crowd[0]);
    crowd_close(&crowd[1]);
    table_pair(asking->what, asking->is_time ? "us" : "lines/s", figure[0], figure[1], BENCH_ROUNDS,
               asking->goal);
    table_pair("  processor time of the server", "us/line", cpu_us[0], cpu_us[1], BENCH_ROUNDS,
               none);
}

void bench_asking(const struct bench *bench) {
    const struct child servers[] = {child_serve(bench_daemon, (void *)bench),
                                    child_serve(bench_echo, NULL)};
    for (size_t i = 0; i < sizeof askings / sizeof askings[0]; i++) {
        measure(servers, &askings[i]);
    }
    child_end(servers[0]);
    child_end(servers[1]);
}
