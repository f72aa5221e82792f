#include "tools/drawtender/timetable/plan.h"

#include <stdlib.h>
#include <string.h>

/* Dynamic programming over the boats, in order. A state is "all boats before this one are served,
 * and from `free` on an opening may begin again wherever the timetable itself leaves a gap": when
 * an opening begins, nothing of the delays before it is left, so `free` is all that the past does
 * to the future, and an earlier one is never worse. For each boat the states are kept of which none
 * is both cheaper and earlier.
 *
 * Where may the next opening begin? In each gap one moment is enough. Before the first of its boats
 * has come, boats and the end are the same for all moments of the gap, and so are the trains held:
 * the latest will do. After that, sooner is better for all. Gaps before the boat's time matter
 * too: the bridge opens early, and holds a train that would else hold the boat. Once an opening
 * that finds all its boats waiting is allowed, one in a later gap costs more and ends later. */

enum { NEVER = INT32_MAX / 2 };

struct gap {
    int32_t from, to; /* may begin: from <= start < to */
};

struct state {
    int64_t waiting;
    int32_t openings, free;
    int32_t start; /* of the opening that led here */
    size_t before; /* state in the pool */
    size_t boat;   /* first not served */
};

struct frontier {
    size_t count, room;
    size_t *state; /* in the pool */
};

struct search {
    const struct plan *plan;
    size_t gaps;
    struct gap *gap;
    size_t states, room;
    struct state *pool;
    struct frontier *at; /* for each boat, and one after the last */
};

static bool check_one(int32_t at, int32_t takes, int32_t before, const char *what, size_t index,
                      struct error *error) {
    if (at < 0 || at > PLAN_TIME_MAX_S || takes < 0 || takes > PLAN_TIME_MAX_S) {
        return error_set(error, "", "%s %zu: a time is out of range", what, index + 1);
    }
    return at >= before || error_set(error, "", "%s %zu: out of order", what, index + 1);
}

static bool check_trains(struct plan *plan, struct error *error) {
    int32_t left[PLAN_TRACKS_MAX] = {0};
    for (size_t i = 0; i < plan->trains; i++) {
        const struct plan_train *train = &plan->train[i];
        plan->wrong_train = i + 1;
        int32_t before = i > 0 ? plan->train[i - 1].at : 0;
        if (!check_one(train->at, train->takes, before, "train", i, error)) {
            return false;
        }
        if (train->track >= PLAN_TRACKS_MAX) {
            return error_set(error, "", "train %zu: no such track", i + 1);
        }
        if (train->at < left[train->track]) {
            return error_set(error, "", "train %zu: the one before it is still on the bridge",
                             i + 1);
        }
        left[train->track] = train->at + train->takes;
    }
    plan->wrong_train = 0;
    return true;
}

static bool check(struct plan *plan, struct error *error) {
    plan->wrong_train = 0;
    const int32_t times[] = {plan->opening_s, plan->closing_s, plan->approach_s,
                             plan->most_delay_s};
    for (size_t i = 0; i < sizeof times / sizeof times[0]; i++) {
        if (times[i] < 0 || times[i] > PLAN_TIME_MAX_S) {
            return error_set(error, "", "a time is out of range");
        }
    }
    if (plan->trains > PLAN_TRAINS_MAX || plan->boats > PLAN_BOATS_MAX) {
        return error_set(error, "", "more than %d trains or %d boats", PLAN_TRAINS_MAX,
                         PLAN_BOATS_MAX);
    }
    int64_t all = 0;
    for (size_t i = 0; i < plan->boats; i++) {
        int32_t before = i > 0 ? plan->boat[i - 1].at : 0;
        if (!check_one(plan->boat[i].at, plan->boat[i].takes, before, "boat", i, error)) {
            return false;
        }
        all += plan->boat[i].takes;
    }
    return (all <= NEVER / 4 && check_trains(plan, error)) ||
           error_set(all > NEVER / 4 ? error : NULL, "", "the boats together take too long");
}

/* What the timetable leaves free for an opening to begin. */
static void find_gaps(struct search *search) {
    const struct plan *plan = search->plan;
    int32_t from = -NEVER;
    for (size_t i = 0; i < plan->trains; i++) {
        const struct plan_train *train = &plan->train[i];
        int32_t to = train->at - plan->approach_s;
        if (to > from) {
            search->gap[search->gaps++] = (struct gap){.from = from, .to = to};
        }
        int32_t left = train->at + train->takes;
        from = left > from ? left : from;
    }
    search->gap[search->gaps++] = (struct gap){.from = from, .to = NEVER};
}

static int32_t later(int32_t a, int32_t b) {
    return a > b ? a : b;
}

/* Lets the trains go that an opening held, and says from when on the next may begin. False if one
 * loses too much. */
static bool release_trains(const struct plan *plan, size_t first_held, int32_t lined,
                           int32_t *free_from) {
    int32_t left[PLAN_TRACKS_MAX];
    for (unsigned i = 0; i < PLAN_TRACKS_MAX; i++) {
        left[i] = lined;
    }
    *free_from = lined;
    for (size_t i = first_held; i < plan->trains; i++) {
        const struct plan_train *train = &plan->train[i];
        if (train->at - plan->approach_s > *free_from) {
            return true;
        }
        int32_t goes = later(train->at, left[train->track]);
        if (goes - train->at > plan->most_delay_s) {
            return false;
        }
        left[train->track] = goes + train->takes;
        *free_from = later(*free_from, left[train->track]);
    }
    return true;
}

/* Of two alike the one whose last opening begins later: it holds no train for nothing. */
static bool is_no_worse(const struct state *a, const struct state *b) {
    if (a->waiting != b->waiting) {
        return a->waiting < b->waiting && a->free <= b->free;
    }
    if (a->openings != b->openings) {
        return a->openings < b->openings && a->free <= b->free;
    }
    return a->free < b->free || (a->free == b->free && a->start >= b->start);
}

static bool put_state(struct search *search, const struct state *state) {
    if (search->states == search->room) {
        size_t room = search->room > 0 ? 2 * search->room : 256;
        struct state *grown = realloc(search->pool, room * sizeof *grown);
        if (grown == NULL) {
            return false;
        }
        search->pool = grown;
        search->room = room;
    }
    search->pool[search->states++] = *state;
    return true;
}

/* Keeps the state unless one there is no worse; drops those that it beats. False: no memory. */
static bool keep_state(struct search *search, const struct state *state) {
    struct frontier *frontier = &search->at[state->boat];
    size_t kept = 0;
    for (size_t i = 0; i < frontier->count; i++) {
        if (is_no_worse(&search->pool[frontier->state[i]], state)) {
            return true; /* nothing was dropped: what the new one beats, that one beats too */
        }
        if (!is_no_worse(state, &search->pool[frontier->state[i]])) {
            frontier->state[kept++] = frontier->state[i];
        }
    }
    frontier->count = kept;
    if (frontier->count == frontier->room) {
        size_t room = frontier->room > 0 ? 2 * frontier->room : 16;
        size_t *grown = realloc(frontier->state, room * sizeof *grown);
        if (grown == NULL) {
            return false;
        }
        frontier->state = grown;
        frontier->room = room;
    }
    frontier->state[frontier->count++] = search->states;
    return put_state(search, state);
}

/* All openings that begin then, for one boat and more. `settled`: for this many boats (counted from
 * the first of all) a later gap cannot do better; moved on. False: no memory. */
static bool open_at(struct search *search, size_t before, int32_t start, size_t *settled) {
    const struct plan *plan = search->plan;
    struct state next = search->pool[before];
    size_t held = 0;
    while (held < plan->trains && plan->train[held].at - plan->approach_s <= start) {
        held++;
    }
    const int32_t open = start + plan->opening_s;
    int32_t clear = open;
    next.openings++;
    next.before = before;
    next.start = start;
    while (next.boat < plan->boats) {
        const struct plan_boat *boat = &plan->boat[next.boat++];
        int32_t passes = later(boat->at, clear);
        next.waiting += passes - boat->at;
        clear = passes + boat->takes;
        if (!release_trains(plan, held, clear + plan->closing_s, &next.free)) {
            return true; /* with more boats still later */
        }
        if (next.boat > *settled && !keep_state(search, &next)) {
            return false;
        }
        if (next.boat > *settled && open >= boat->at) {
            *settled = next.boat;
        }
    }
    return true;
}

static bool go_on_from(struct search *search, size_t before) {
    const struct plan *plan = search->plan;
    const struct state from = search->pool[before];
    const int32_t wanted = plan->boat[from.boat].at - plan->opening_s;
    size_t settled = from.boat;
    for (size_t i = 0; i < search->gaps && settled < plan->boats; i++) {
        int32_t first = later(search->gap[i].from, from.free);
        int32_t last = search->gap[i].to - 1;
        if (first > last) {
            continue;
        }
        int32_t start = wanted < first ? first : wanted > last ? last : wanted;
        if (!open_at(search, before, start, &settled)) {
            return false;
        }
    }
    return true;
}

static bool search_all(struct search *search) {
    const struct state first = {.free = -NEVER};
    if (!keep_state(search, &first)) {
        return false;
    }
    for (size_t boat = 0; boat < search->plan->boats; boat++) {
        for (size_t i = 0; i < search->at[boat].count; i++) {
            if (!go_on_from(search, search->at[boat].state[i])) {
                return false;
            }
        }
    }
    return true;
}

static size_t cheapest(const struct search *search) {
    const struct frontier *end = &search->at[search->plan->boats];
    size_t best = end->state[0];
    for (size_t i = 1; i < end->count; i++) {
        const struct state *state = &search->pool[end->state[i]];
        const struct state *so_far = &search->pool[best];
        if (state->waiting < so_far->waiting ||
            (state->waiting == so_far->waiting && state->openings < so_far->openings)) {
            best = end->state[i];
        }
    }
    return best;
}

static void write_boats(struct plan *plan, size_t index) {
    struct plan_opening *opening = &plan->opening[index];
    int32_t clear = opening->open;
    for (size_t i = opening->first; i < opening->first + opening->boats; i++) {
        plan->boat[i].passes_at = later(plan->boat[i].at, clear);
        plan->boat[i].opening = index;
        clear = plan->boat[i].passes_at + plan->boat[i].takes;
    }
    opening->lined = clear + plan->closing_s;
}

static void write_trains(struct plan *plan) {
    int32_t left[PLAN_TRACKS_MAX] = {0};
    for (size_t i = 0; i < plan->trains; i++) {
        struct plan_train *train = &plan->train[i];
        train->goes_at = later(train->at, left[train->track]);
        for (size_t j = 0; j < plan->openings; j++) {
            const struct plan_opening *opening = &plan->opening[j];
            if (train->at - plan->approach_s > opening->start && train->goes_at < opening->lined) {
                train->goes_at = opening->lined;
            }
        }
        left[train->track] = train->goes_at + train->takes;
    }
}

static void write_out(struct plan *plan, const struct search *search) {
    size_t last = cheapest(search);
    plan->waiting_s = search->pool[last].waiting;
    plan->openings = (size_t)search->pool[last].openings;
    for (size_t i = plan->openings; i > 0; i--) {
        const struct state *state = &search->pool[last];
        size_t first = search->pool[state->before].boat;
        plan->opening[i - 1] = (struct plan_opening){.start = state->start,
                                                     .open = state->start + plan->opening_s,
                                                     .first = first,
                                                     .boats = state->boat - first};
        last = state->before;
    }
    for (size_t i = 0; i < plan->openings; i++) {
        write_boats(plan, i);
    }
    write_trains(plan);
}

bool plan_make(struct plan *plan, struct error *error) {
    if (!check(plan, error)) {
        return false;
    }
    struct search search = {.plan = plan,
                            .gap = calloc(plan->trains + 1, sizeof *search.gap),
                            .at = calloc(plan->boats + 1, sizeof *search.at)};
    bool is_found = search.gap != NULL && search.at != NULL;
    if (is_found) {
        find_gaps(&search);
        is_found = search_all(&search);
    }
    if (is_found) {
        write_out(plan, &search);
    } else {
        error_set(error, "", "out of memory");
    }
    for (size_t i = 0; search.at != NULL && i <= plan->boats; i++) {
        free(search.at[i].state);
    }
    free(search.at);
    free(search.gap);
    free(search.pool);
    return is_found;
}
