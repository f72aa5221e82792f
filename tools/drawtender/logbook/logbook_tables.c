#include "tools/drawtender/logbook/logbook_tables.h"

#include "base/text/moment.h"
#include "base/who.h"
#include "core/words/names.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static double seconds(uint64_t from_us, uint64_t to_us) {
    return to_us > from_us && from_us != 0 ? (double)(to_us - from_us) * 1e-6 : NAN;
}

static void add_who(struct table *table, int32_t who) {
    char text[WHO_WORDS_SIZE];
    who_words(who, text);
    table_text(table, text);
}

static void add_position(struct table *table, const struct logbook *logbook, double frac) {
    table_number(table, frac * logbook->travel, 1);
}

/* --- the tables */

static void fill_openings(const struct logbook *logbook, struct table *table) {
    for (size_t i = 0; i < logbook->openings; i++) {
        const struct logbook_opening *opening = &logbook->opening[i];
        table_whole(table, opening->number);
        table_time(table, opening->asked_us);
        table_number(table, seconds(opening->asked_us, opening->open_us), 1);
        bool is_lined = logbook_has_ended(opening);
        table_number(table, is_lined ? seconds(opening->asked_us, opening->ended_us) : NAN, 1);
        table_text(table, logbook_outcome_name(opening->outcome));
        table_whole(table, opening->trains);
        table_number(table, (double)opening->trains_us * 1e-6, 1);
        table_number(table, opening->most_a, 3);
        table_number(table, opening->mean_a, 3);
        add_who(table, opening->who);
        table_whole(table, opening->event);
    }
}

static void fill_movements(const struct logbook *logbook, struct table *table) {
    for (size_t i = 0; i < logbook->movements; i++) {
        const struct logbook_movement *movement = &logbook->movement[i];
        table_whole(table, movement->number);
        table_time(table, movement->began_us);
        table_time(table, movement->ended_us);
        table_text(table, movement->is_up ? "up" : "down");
        add_position(table, logbook, movement->from_frac);
        add_position(table, logbook, movement->to_frac);
        add_who(table, movement->who);
        table_text(table, movement->cause);
    }
}

static void fill_sessions(const struct logbook *logbook, struct table *table) {
    for (size_t i = 0; i < logbook->runs; i++) {
        const struct logbook_run *run = &logbook->run[i];
        table_time(table, run->began_us);
        table_time(table, run->ended_us);
        table_whole(table, run->openings);
        table_whole(table, run->movements);
        table_number(table, (double)run->moved_us * 1e-6, 1);
        table_whole(table, run->faults);
        table_whole(table, run->refusals);
        table_whole(table, run->stops);
        table_whole(table, run->sessions);
    }
}

static void fill_events(const struct logbook *logbook, struct table *table, unsigned kinds) {
    for (size_t i = 0; i < logbook->events; i++) {
        const struct logbook_event *read = &logbook->event[i];
        if ((kinds & 1u << read->event.kind) == 0) {
            continue;
        }
        table_whole(table, read->number);
        table_time(table, read->event.at_us);
        table_text(table, event_kind_name(read->event.kind));
        table_text(table, read->event.what);
        add_position(table, logbook, read->event.position_frac);
        add_who(table, read->event.who);
        table_text(table, read->event.words);
    }
}

static const char *const opening_columns[] = {
    "number", "asked",   "open after, s", "lined after, s", "outcome",     "trains waited",
    "for, s", "most, A", "mean, A",       "asked by",       "first event", NULL};
static const char *const movement_columns[] = {"number", "began", "ended", "way", "from",
                                               "to",     "who",   "cause", NULL};
static const char *const session_columns[] = {"began",    "ended",  "openings", "movements",
                                              "moved, s", "faults", "refusals", "stops",
                                              "clients",  NULL};
static const char *const event_columns[] = {"number", "at",  "kind",  "what",
                                            "place",  "who", "words", NULL};

enum { KIND_OF_ALL = (1u << EVENTS) - 1 };

/* `fill` or, where there is none, the events of these kinds. */
static const struct {
    const char *name;
    const char *const *columns;
    void (*fill)(const struct logbook *logbook, struct table *table);
    unsigned kinds;
} tables[] = {
    {"openings", opening_columns, fill_openings, 0},
    {"movements", movement_columns, fill_movements, 0},
    {"sessions", session_columns, fill_sessions, 0},
    {"faults", event_columns, NULL, 1u << EVENT_FAULT | 1u << EVENT_GIVEN_UP},
    {"refusals", event_columns, NULL, 1u << EVENT_REFUSED},
    {"stops", event_columns, NULL, 1u << EVENT_STOPPED},
    {"clients", event_columns, NULL, 1u << EVENT_SESSION_BEGAN | 1u << EVENT_SESSION_ENDED},
    {"events", event_columns, NULL, KIND_OF_ALL},
};

const char *logbook_tables_names(void) {
    return "openings|movements|sessions|faults|refusals|stops|clients|events";
}

bool logbook_tables_fill(const struct logbook *logbook, const char *name, struct table *table) {
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        if (strcmp(tables[i].name, name) == 0) {
            table_begin(table, tables[i].columns);
            if (tables[i].fill != NULL) {
                tables[i].fill(logbook, table);
            } else {
                fill_events(logbook, table, tables[i].kinds);
            }
            return true;
        }
    }
    return false;
}

void logbook_tables_opening(const struct logbook *logbook, const struct logbook_opening *opening,
                            struct table *table) {
    static const char *const columns[] = {"after, s", "phase", "place", "lasts, s", NULL};
    table_begin(table, columns);
    for (unsigned i = 0; i < opening->steps; i++) {
        const struct logbook_step *step = &opening->step[i];
        uint64_t next_us = i + 1 < opening->steps ? opening->step[i + 1].at_us : step->at_us;
        table_number(table, (double)(step->at_us - opening->asked_us) * 1e-6, 2);
        table_text(table, bridge_phase_name(step->phase));
        add_position(table, logbook, step->position_frac);
        table_number(table, (double)(next_us - step->at_us) * 1e-6, 2);
    }
}

/* --- summary */

/* Mean of what some openings have; not a number: none has it. */
static double mean_of(const struct logbook *logbook, size_t from, size_t to,
                      double (*value)(const struct logbook_opening *opening)) {
    double sum = 0;
    unsigned count = 0;
    for (size_t i = from; i < to; i++) {
        double one = value(&logbook->opening[i]);
        sum += isfinite(one) ? one : 0;
        count += isfinite(one);
    }
    return count > 0 ? sum / count : NAN;
}

static double boat_wait_s(const struct logbook_opening *opening) {
    return seconds(opening->asked_us, opening->open_us);
}
static double train_wait_s(const struct logbook_opening *opening) {
    return (double)opening->trains_us * 1e-6;
}
static double most_a(const struct logbook_opening *opening) {
    return opening->most_a;
}
static double mean_a(const struct logbook_opening *opening) {
    return opening->mean_a;
}

static void add_count(struct table *table, const char *what, int64_t count) {
    table_text(table, what);
    table_whole(table, count);
    table_text(table, "");
}

static void add_value(struct table *table, const char *what, double value, int decimals,
                      const char *unit) {
    table_text(table, what);
    table_number(table, value, decimals);
    table_text(table, unit);
}

static void add_totals(const struct logbook *logbook, struct table *table) {
    struct logbook_run total = {.run = 0};
    for (size_t i = 0; i < logbook->runs; i++) {
        const struct logbook_run *run = &logbook->run[i];
        total.openings += run->openings;
        total.movements += run->movements;
        total.moved_us += run->moved_us;
        total.faults += run->faults;
        total.refusals += run->refusals;
        total.stops += run->stops;
    }
    add_count(table, "sessions", (int64_t)logbook->runs);
    add_count(table, "openings", total.openings);
    add_value(table, "openings a session",
              logbook->runs > 0 ? (double)total.openings / (double)logbook->runs : NAN, 1, "");
    add_count(table, "movements", total.movements);
    add_value(table, "time in movement", (double)total.moved_us * 1e-6, 1, "s");
    add_count(table, "faults", total.faults);
    add_count(table, "refusals", total.refusals);
    add_count(table, "stops", total.stops);
}

/* The first and the last few, so that a change over the record shows. */
static void add_trend(const struct logbook *logbook, struct table *table) {
    enum { FEW = 5 };
    size_t count = logbook->openings;
    size_t few = count < 2 * FEW ? count / 2 : FEW;
    add_value(table, "peak current, first openings", mean_of(logbook, 0, few, most_a), 3, "A");
    add_value(table, "peak current, last openings", mean_of(logbook, count - few, count, most_a), 3,
              "A");
    add_value(table, "mean current, first openings", mean_of(logbook, 0, few, mean_a), 3, "A");
    add_value(table, "mean current, last openings", mean_of(logbook, count - few, count, mean_a), 3,
              "A");
}

static void add_service(const struct logbook *logbook, struct table *table) {
    const struct logbook_service *service = &logbook->service;
    char since[MOMENT_SIZE] = "none recorded";
    if (service->since_us != 0) {
        moment_write(service->since_us, since);
    }
    table_text(table, "last service");
    table_text(table, since);
    table_text(table, "");
    double left = (double)service->openings_most - service->openings;
    double left_h = ((double)service->moved_most_us - (double)service->moved_us) / 3.6e9;
    add_value(table, "service due in openings", service->openings_most != 0 ? left : NAN, 0,
              service->openings_most != 0 && left <= 0 ? "due now" : "");
    add_value(table, "service due in hours of movement", service->moved_most_us != 0 ? left_h : NAN,
              2, service->moved_most_us != 0 && left_h <= 0 ? "h, due now" : "h");
}

void logbook_tables_summary(const struct logbook *logbook, struct table *table) {
    static const char *const columns[] = {"what", "value", "unit", NULL};
    table_begin(table, columns);
    add_totals(logbook, table);
    size_t count = logbook->openings;
    add_value(table, "mean delay to boats, if each requested on arrival",
              mean_of(logbook, 0, count, boat_wait_s), 1, "s");
    add_value(table, "mean delay to trains, each time a raise was requested",
              mean_of(logbook, 0, count, train_wait_s), 1, "s");
    add_trend(logbook, table);
    add_service(logbook, table);
}
