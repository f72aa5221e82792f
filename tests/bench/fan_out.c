#include "bench/bench.h"
#include "bench/children.h"
#include "bench/clients/crowd.h"
#include "bench/figures.h"
#include "bench/table.h"

/* A bridge that starts is not quiet at once: its signals clear when approach locking has released.
 */
enum { LINES = 200, SILENCE_MS = 7000 };

/* What the listeners hear has the same length, its time stamp included. */
static const char *const says[] = {
    "SET 0 GM 0 0 CREW the 4:15 freight is late again\n",
    "* 1767225600.000 100 INFO 0 GM 0 0 CREW the 4:15 freight is late\n"};
static const enum crowd_kind kinds[][2] = {{CROWD_COMMAND, CROWD_INFO}, {CROWD_BARE, CROWD_BARE}};

/* One line to everyone, again when all have it. Lines a second. */
static double fan_out(struct crowd *listeners, struct crowd *sender, const char *line) {
    uint64_t start = figures_now_ns();
    for (uint64_t i = 1; i <= LINES; i++) {
        crowd_ask(sender, line, 1, 1);
        crowd_hear(listeners, i);
    }
    crowd_forget(listeners);
    return (double)LINES * listeners->count / ((double)(figures_now_ns() - start) * 1e-9);
}

void bench_fan_out(const struct bench *bench) {
    const struct child servers[] = {child_serve(bench_daemon, (void *)bench),
                                    child_serve(bench_echo, NULL)};
    struct crowd sender[2];
    struct crowd listeners[2];
    double rate[2][BENCH_ROUNDS];
    double cpu_us[2][BENCH_ROUNDS];
    for (unsigned s = 0; s < 2; s++) {
        crowd_open(&sender[s], servers[s].port, 1, kinds[s][0]);
        crowd_open(&listeners[s], servers[s].port, BENCH_MANY, kinds[s][1]);
    }
    crowd_settle(&listeners[0], SILENCE_MS);
    for (unsigned round = 0; round < BENCH_ROUNDS; round++) {
        for (unsigned s = 0; s < 2; s++) {
            double before_s = figures_cpu_s(servers[s].pid);
            rate[s][round] = fan_out(&listeners[s], &sender[s], says[s]);
            cpu_us[s][round] =
                (figures_cpu_s(servers[s].pid) - before_s) / LINES / BENCH_MANY * 1e6;
        }
    }
    for (unsigned s = 0; s < 2; s++) {
        crowd_close(&listeners[s]);
        crowd_close(&sender[s]);
        child_end(servers[s]);
    }
    table_pair("INFO to 1,000 sessions", "lines/s", rate[0], rate[1], BENCH_ROUNDS,
               (struct goal){GOAL_AT_LEAST, 0.8});
    table_pair("  processor time of the server", "us/line", cpu_us[0], cpu_us[1], BENCH_ROUNDS,
               (struct goal){GOAL_NONE, 0});
}
