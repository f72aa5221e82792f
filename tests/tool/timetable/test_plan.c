/* The planner beside a brute force that tries every opening at every second. */
#include "support/check.h"
#include "tools/drawtender/timetable/plan.h"

#include <stdlib.h>
#include <string.h>

enum { TRAINS = 6, BOATS = 4, LONGEST = 70 };

static uint32_t dice = 1;

/* Numerical Recipes' quick generator (from memory); the high bits are good enough here. */
static int32_t roll(int32_t from, int32_t to) {
    dice = dice * 1664525u + 1013904223u;
    return from + (int32_t)((dice >> 8) % (uint32_t)(to - from + 1));
}

struct trial {
    const struct plan *plan;
    size_t openings;
    int32_t start[BOATS], lined[BOATS];
    int64_t best_waiting;
    size_t best_openings;
    int32_t horizon;
};

/* The rules, said again in another way: let all trains run against these openings and see. */
static bool trains_allow(const struct trial *trial) {
    const struct plan *plan = trial->plan;
    int32_t left[PLAN_TRACKS_MAX] = {0};
    for (size_t i = 0; i < plan->trains; i++) {
        const struct plan_train *train = &plan->train[i];
        int32_t goes = train->at > left[train->track] ? train->at : left[train->track];
        for (size_t j = 0; j < trial->openings; j++) {
            bool is_committed = train->at - plan->approach_s <= trial->start[j];
            if (is_committed && goes + train->takes > trial->start[j]) {
                return false;
            }
            if (!is_committed && goes < trial->lined[j]) {
                goes = trial->lined[j];
            }
        }
        if (goes - train->at > plan->most_delay_s) {
            return false;
        }
        left[train->track] = goes + train->takes;
    }
    return true;
}

static void try_all(struct trial *trial, size_t boat, int32_t from, int64_t waiting) {
    const struct plan *plan = trial->plan;
    if (boat == plan->boats) {
        bool is_better = waiting < trial->best_waiting ||
                         (waiting == trial->best_waiting && trial->openings < trial->best_openings);
        if (is_better && trains_allow(trial)) {
            trial->best_waiting = waiting;
            trial->best_openings = trial->openings;
        }
        return;
    }
    for (int32_t start = from; start <= trial->horizon; start++) {
        int32_t clear = start + plan->opening_s;
        int64_t waits = waiting;
        for (size_t i = boat; i < plan->boats; i++) {
            int32_t passes = plan->boat[i].at > clear ? plan->boat[i].at : clear;
            waits += passes - plan->boat[i].at;
            if (waits > trial->best_waiting) {
                break;
            }
            clear = passes + plan->boat[i].takes;
            trial->start[trial->openings] = start;
            trial->lined[trial->openings++] = clear + plan->closing_s;
            try_all(trial, i + 1, clear + plan->closing_s, waits);
            trial->openings--;
        }
    }
}

static int by_time(const void *a, const void *b) {
    const int32_t *left = a; /* the first member of trains and of boats alike */
    const int32_t *right = b;
    return (*left > *right) - (*left < *right);
}

static void make_case(struct plan *plan, struct plan_train *train, struct plan_boat *boat) {
    *plan = (struct plan){.opening_s = roll(0, 5),
                          .closing_s = roll(0, 4),
                          .approach_s = roll(0, 4),
                          .most_delay_s = roll(0, 15),
                          .train = train,
                          .boat = boat};
    plan->boats = (size_t)roll(1, BOATS);
    for (size_t i = 0; i < plan->boats; i++) {
        boat[i] = (struct plan_boat){.at = roll(0, 30), .takes = roll(0, 4)};
    }
    qsort(boat, plan->boats, sizeof *boat, by_time);
    int32_t left[2] = {0, 0};
    size_t count = (size_t)roll(0, TRAINS);
    int32_t at = 0;
    for (size_t i = 0; i < count; i++) {
        unsigned track = (unsigned)roll(0, 1);
        at += roll(0, 9);
        at = at > left[track] ? at : left[track];
        train[i] = (struct plan_train){.at = at, .takes = roll(0, 4), .track = track};
        left[track] = at + train[i].takes;
    }
    plan->trains = count;
}

/* What the plan says of itself holds by the brute force's own rules. */
static void assert_is_true(const struct plan *plan) {
    struct trial trial = {.plan = plan, .openings = plan->openings};
    size_t next = 0;
    for (size_t i = 0; i < plan->openings; i++) {
        assert_int_equal(plan->opening[i].first, next);
        next += plan->opening[i].boats;
        trial.start[i] = plan->opening[i].start;
        trial.lined[i] = plan->opening[i].lined;
    }
    assert_int_equal(next, plan->boats);
    assert_true(trains_allow(&trial));
    for (size_t i = 0; i < plan->openings; i++) {
        /* Early only where a train would be met a second later. */
        if (plan->opening[i].open < plan->boat[plan->opening[i].first].at) {
            trial.start[i]++;
            assert_false(trains_allow(&trial));
            trial.start[i]--;
        }
    }
    int64_t waiting = 0;
    for (size_t i = 0; i < plan->boats; i++) {
        waiting += plan->boat[i].passes_at - plan->boat[i].at;
    }
    assert_int_equal(waiting, plan->waiting_s);
}

static void plans_are_as_good_as_brute_force_finds(void **state) {
    (void)state;
    dice = 20260131;
    size_t waited = 0;
    size_t delayed = 0;
    size_t shared = 0;
    for (int i = 0; i < 2000; i++) {
        struct plan_train train[TRAINS];
        struct plan_boat boat[BOATS];
        static struct plan plan;
        make_case(&plan, train, boat);
        struct error error;
        assert_true(plan_make(&plan, &error));
        assert_is_true(&plan);
        struct trial trial = {.plan = &plan,
                              .best_waiting = INT64_MAX,
                              .best_openings = SIZE_MAX,
                              .horizon = LONGEST + 30};
        /* Begin with the planner's own waiting as the bound: nothing beyond it need be tried. */
        trial.best_waiting = plan.waiting_s;
        trial.best_openings = SIZE_MAX;
        try_all(&trial, 0, -10, 0);
        if (trial.best_waiting != plan.waiting_s || trial.best_openings != plan.openings) {
            fail_msg("case %d: waiting %lld in %zu openings, brute force %lld in %zu", i,
                     (long long)plan.waiting_s, plan.openings, (long long)trial.best_waiting,
                     trial.best_openings);
        }
        waited += plan.waiting_s > 0;
        shared += plan.openings < plan.boats;
        for (size_t j = 0; j < plan.trains; j++) {
            delayed += plan.train[j].goes_at > plan.train[j].at;
        }
    }
    /* The cases are about something. */
    assert_true(waited > 50 && delayed > 50 && shared > 50);
}

static void a_day_of_200_trains_and_60_boats_is_planned(void **state) {
    (void)state;
    static struct plan_train train[200];
    static struct plan_boat boat[60];
    static struct plan plan;
    plan = (struct plan){.opening_s = 90,
                         .closing_s = 80,
                         .approach_s = 60,
                         .most_delay_s = 180,
                         .trains = 200,
                         .boats = 60,
                         .train = train,
                         .boat = boat};
    dice = 7;
    for (int i = 0; i < 200; i++) {
        train[i] = (struct plan_train){.at = i * 432 + roll(0, 300), .takes = 60};
    }
    for (size_t i = 0; i < 60; i++) {
        boat[i] = (struct plan_boat){.at = roll(0, 86399), .takes = roll(60, 240)};
    }
    qsort(boat, 60, sizeof *boat, by_time);
    struct error error;
    assert_true(plan_make(&plan, &error));
    assert_true(plan.openings > 0 && plan.openings <= 60);
    for (size_t i = 0; i < 200; i++) {
        assert_in_range(train[i].goes_at - train[i].at, 0, 180);
    }
}

static void an_impossible_timetable_is_refused(void **state) {
    (void)state;
    struct plan_train train[] = {{.at = 10, .takes = 5}, {.at = 14, .takes = 5}};
    struct plan_boat boat[] = {{.at = 9, .takes = 1}, {.at = 8, .takes = 1}};
    static struct plan plan;
    struct error error;
    plan = (struct plan){.trains = 2, .train = train};
    assert_false(plan_make(&plan, &error));
    assert_string_equal(error.what, "train 2: the one before it is still on the bridge");
    train[1].track = 1;
    assert_true(plan_make(&plan, &error));
    plan.boats = 2;
    plan.boat = boat;
    assert_false(plan_make(&plan, &error));
    assert_string_equal(error.what, "boat 2: out of order");
    boat[1].at = PLAN_TIME_MAX_S + 1;
    assert_false(plan_make(&plan, &error));
    assert_string_equal(error.what, "boat 2: a time is out of range");
}

static void a_boat_that_finds_no_room_waits_for_the_last_train(void **state) {
    (void)state;
    struct plan_train train[10];
    for (int i = 0; i < 10; i++) {
        train[i] = (struct plan_train){.at = 100 * i, .takes = 20};
    }
    struct plan_boat boat = {.at = 50, .takes = 60};
    static struct plan plan;
    struct error error;
    plan = (struct plan){.opening_s = 30,
                         .closing_s = 30,
                         .approach_s = 10,
                         .most_delay_s = 5,
                         .trains = 10,
                         .boats = 1,
                         .train = train,
                         .boat = &boat};
    assert_true(plan_make(&plan, &error));
    assert_int_equal(plan.opening[0].start, 920);
    assert_int_equal(boat.passes_at, 950);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plans_are_as_good_as_brute_force_finds),
        cmocka_unit_test(a_day_of_200_trains_and_60_boats_is_planned),
        cmocka_unit_test(an_impossible_timetable_is_refused),
        cmocka_unit_test(a_boat_that_finds_no_room_waits_for_the_last_train),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
