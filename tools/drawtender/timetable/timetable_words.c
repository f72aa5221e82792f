#include "tools/drawtender/timetable/timetable_words.h"

#include <inttypes.h>

enum { CLOCK_SIZE = 16, DAY_S = 86400, SPARE_S = 60, NAMES_MOST = 6 };

static void put_opening(FILE *out, const struct timetable *timetable, size_t index) {
    const struct plan_opening *opening = &timetable->plan.opening[index];
    char start[CLOCK_SIZE];
    char open[CLOCK_SIZE];
    char lined[CLOCK_SIZE];
    timetable_clock(opening->start, start);
    timetable_clock(opening->open, open);
    timetable_clock(opening->lined, lined);
    fprintf(out, "%-4zu %s  %s  %s  ", index + 1, start, open, lined);
    for (size_t i = 0; i < opening->boats; i++) {
        fprintf(out, "%s%s", i > 0 ? ", " : "", timetable->boat_call[opening->first + i].name);
    }
    fputc('\n', out);
}

static void put_late(FILE *out, const char *name, const char *verb, int32_t at, int32_t goes) {
    char due[CLOCK_SIZE];
    timetable_clock(at, due);
    fprintf(out, "%s (%s) %s %" PRId32 " min %" PRId32 " s\n", name, due, verb, (goes - at) / 60,
            (goes - at) % 60);
}

static void put_time_of(FILE *out, const char *what, const struct bridge_time *time,
                        int32_t model_s) {
    fprintf(out, "%-8s  %6.1f s of the layout, %5" PRId32 " s of the model; %s\n", what,
            time->ms / 1e3, model_s, time->source);
}

void timetable_words(FILE *out, const struct timetable *timetable) {
    const struct plan *plan = &timetable->plan;
    put_time_of(out, "opening", &timetable->times.opening, plan->opening_s);
    put_time_of(out, "closing", &timetable->times.closing, plan->closing_s);
    put_time_of(out, "approach", &timetable->times.approach, plan->approach_s);
    fprintf(out, "     begins    open      lined     for\n");
    for (size_t i = 0; i < plan->openings; i++) {
        put_opening(out, timetable, i);
    }
    for (size_t i = 0; i < plan->trains; i++) {
        if (plan->train[i].goes_at > plan->train[i].at) {
            put_late(out, timetable->train_call[i].name, "is delayed", plan->train[i].at,
                     plan->train[i].goes_at);
        }
    }
    for (size_t i = 0; i < plan->boats; i++) {
        if (plan->boat[i].passes_at > plan->boat[i].at) {
            put_late(out, timetable->boat_call[i].name, "waits", plan->boat[i].at,
                     plan->boat[i].passes_at);
        }
    }
}

/* A boat may wait for the whole day: no more names than help. */
static void put_trains_between(FILE *out, const struct timetable *timetable, int32_t from,
                               int32_t to) {
    size_t count = 0;
    for (size_t i = 0; i < timetable->plan.trains; i++) {
        const struct plan_train *train = &timetable->plan.train[i];
        if (train->goes_at + train->takes > from && train->at < to) {
            if (count < NAMES_MOST) {
                fprintf(out, "%s%s", count == 0 ? "; trains in that time: " : ", ",
                        timetable->train_call[i].name);
            }
            count++;
        }
    }
    if (count > NAMES_MOST) {
        fprintf(out, " and %zu more", count - NAMES_MOST);
    }
}

size_t timetable_conflicts(FILE *out, const struct timetable *timetable) {
    size_t conflicts = 0;
    for (size_t i = 0; i < timetable->plan.boats; i++) {
        const struct plan_boat *boat = &timetable->plan.boat[i];
        if (boat->passes_at - boat->at <= timetable->boat_wait_s) {
            continue;
        }
        conflicts++;
        char at[CLOCK_SIZE];
        char passes[CLOCK_SIZE];
        timetable_clock(boat->at, at);
        timetable_clock(boat->passes_at, passes);
        fprintf(out, "conflict: %s comes at %s and cannot pass before %s",
                timetable->boat_call[i].name, at, passes);
        put_trains_between(out, timetable, boat->at, boat->passes_at);
        fputc('\n', out);
    }
    return conflicts;
}

/* The protocol's days: the timetable's is day 1, so that an opening for its first boat may begin
 * the day before. */
static void put_time(FILE *out, const char *command, int32_t time_s) {
    int32_t whole = time_s + DAY_S;
    fprintf(out, "%s 0 TIME %" PRId32 " %" PRId32 " %" PRId32 " %" PRId32 "\n", command,
            whole / DAY_S, whole / 3600 % 24, whole / 60 % 60, whole % 60);
}

/* Twice the planned time and a minute, of the layout. */
static int32_t patience(const struct timetable *timetable, int32_t model_s) {
    return 2 * model_s / (int32_t)timetable->clock + SPARE_S;
}

struct timetable_bridge timetable_usual_bridge(unsigned bus) {
    return (struct timetable_bridge){.bus = bus, .span = 1, .open = 3, .lined = 5};
}

static void put_script_opening(FILE *out, const struct timetable *timetable, size_t index,
                               const struct timetable_bridge *bridge) {
    const struct plan *plan = &timetable->plan;
    const struct plan_opening *opening = &plan->opening[index];
    const char *boat = timetable->boat_call[opening->first].name;
    fprintf(out, "\n# Opening %zu, boats: %zu\n", index + 1, opening->boats);
    put_time(out, "WAIT", opening->start);
    fprintf(out, "say Opening %zu of %zu: for %s%s\n", index + 1, plan->openings, boat,
            opening->boats > 1 ? " and others" : "");
    fprintf(out, "SET %u GA %u 1 1 -1\n", bridge->bus, bridge->span);
    fprintf(out, "expect %" PRId32 "s %u FB %u 1 the bridge is open for %s\n",
            patience(timetable, plan->opening_s), bridge->bus, bridge->open, boat);
    put_time(out, "WAIT", opening->lined - plan->closing_s);
    fprintf(out, "SET %u GA %u 0 1 -1\n", bridge->bus, bridge->span);
    fprintf(out, "expect %" PRId32 "s %u FB %u 1 the bridge is lined for rail again\n",
            patience(timetable, plan->closing_s), bridge->bus, bridge->lined);
}

void timetable_script(FILE *out, const struct timetable *timetable,
                      const struct timetable_bridge *bridge) {
    const struct plan *plan = &timetable->plan;
    int32_t first = plan->openings > 0 ? plan->opening[0].start : 0;
    if (plan->trains > 0 && (plan->openings == 0 || plan->train[0].at < first)) {
        first = plan->train[0].at;
    }
    int32_t begin = first - SPARE_S < -DAY_S ? -DAY_S : first - SPARE_S;
    fputs("# Written by drawtender plan. The bridge moves by itself: keep clear, and have the\n"
          "# hard-wired emergency stop within reach. Plan again rather than change this file.\n\n"
          "on failure stop\n",
          out);
    fprintf(out, "INIT 0 TIME %u 1\n", timetable->clock);
    put_time(out, "SET", begin);
    fprintf(out, "expect 120s %u FB %u 1 the bridge is lined for rail\n", bridge->bus,
            bridge->lined);
    for (size_t i = 0; i < plan->openings; i++) {
        put_script_opening(out, timetable, i, bridge);
    }
}
