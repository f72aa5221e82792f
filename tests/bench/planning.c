#include "bench/bench.h"
#include "bench/figures.h"
#include "bench/table.h"
#include "tools/drawtender/timetable/plan.h"

#include <stdlib.h>

enum { TRAINS = 200, BOATS = 60, DAY_S = 86400 };

static uint32_t dice = 1;

static int32_t roll(int32_t least, int32_t most) {
    dice = dice * 1664525u + 1013904223u;
    return least + (int32_t)((dice >> 8) % (uint32_t)(most - least + 1));
}

static int by_time(const void *left, const void *right) {
    return ((const struct plan_boat *)left)->at - ((const struct plan_boat *)right)->at;
}

/* A day of trains about every seven minutes, and boats at any time of it. */
static double plan_a_day(void) {
    static struct plan_train train[TRAINS];
    static struct plan_boat boat[BOATS];
    static struct plan plan;
    struct error error;
    plan = (struct plan){.opening_s = 90,
                         .closing_s = 80,
                         .approach_s = 60,
                         .most_delay_s = 180,
                         .trains = TRAINS,
                         .boats = BOATS,
                         .train = train,
                         .boat = boat};
    for (int32_t i = 0; i < TRAINS; i++) {
        int32_t headway_s = DAY_S / TRAINS;
        train[i] = (struct plan_train){.at = i * headway_s + roll(0, 300), .takes = 60};
    }
    for (size_t i = 0; i < BOATS; i++) {
        boat[i] = (struct plan_boat){.at = roll(0, DAY_S - 1), .takes = roll(60, 240)};
    }
    qsort(boat, BOATS, sizeof *boat, by_time);
    uint64_t start_ns = figures_now_ns();
    if (!plan_make(&plan, &error)) {
        figures_fail("no plan: %s", error.what);
    }
    return (double)(figures_now_ns() - start_ns) * 1e-6;
}

void bench_plan(const struct bench *bench) {
    (void)bench;
    double took_ms[BENCH_ROUNDS];
    for (unsigned round = 0; round < BENCH_ROUNDS; round++) {
        took_ms[round] = plan_a_day(); /* another day each time */
    }
    table_alone("plan of openings, 200 trains and 60 boats", "ms",
                figures_median(took_ms, BENCH_ROUNDS), (struct goal){GOAL_AT_MOST, 1000});
}
