#include "bench/bench.h"
#include "bench/children.h"
#include "bench/clients/crowd.h"
#include "bench/figures.h"
#include "bench/table.h"

#include <time.h>

void bench_memory(const struct bench *bench) {
    static const struct {
        const char *what;
        enum crowd_kind kind;
    } kinds[] = {{"memory of a session, COMMAND", CROWD_COMMAND},
                 {"memory of a session, INFO", CROWD_INFO}};
    for (unsigned k = 0; k < 2; k++) {
        struct child daemon = child_serve(bench_daemon, (void *)bench); /* nothing used before */
        double before = figures_memory_bytes(daemon.pid);
        struct crowd crowd;
        crowd_open(&crowd, daemon.port, BENCH_MANY, kinds[k].kind);
        double per_session = (figures_memory_bytes(daemon.pid) - before) / BENCH_MANY / 1024;
        crowd_close(&crowd);
        child_end(daemon);
        table_alone(kinds[k].what, "KiB", per_session, (struct goal){GOAL_AT_MOST, 6});
    }
}

void bench_rest(const struct bench *bench) {
    static const struct timespec settle = {.tv_sec = 1};
    static const struct timespec rest = {.tv_sec = 3};
    struct child daemon = child_serve(bench_daemon, (void *)bench);
    struct crowd crowd;
    crowd_open(&crowd, daemon.port, 10, CROWD_INFO);
    nanosleep(&settle, NULL);
    long before = figures_wakeups(daemon.pid);
    nanosleep(&rest, NULL);
    double wakeups = (double)(figures_wakeups(daemon.pid) - before);
    crowd_close(&crowd);
    child_end(daemon);
    table_alone("wake-ups in 3 s at rest, 10 listeners", "", wakeups,
                (struct goal){GOAL_AT_MOST, 0});
}
