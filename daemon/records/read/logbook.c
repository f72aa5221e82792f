#include "records/read/logbook.h"

#include "base/text/utf8.h"
#include "core/words/names.h"
#include "records/codec/trace.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const outcome_names[LOGBOOK_OUTCOMES] = {
    [LOGBOOK_UNDER_WAY] = "under-way",   [LOGBOOK_WHOLE] = "whole",
    [LOGBOOK_NOT_RAISED] = "not-raised", [LOGBOOK_FAULTED] = "fault",
    [LOGBOOK_CUT_OFF] = "cut-off",
};

const char *logbook_outcome_name(enum logbook_outcome outcome) {
    return outcome_names[outcome];
}

/* Room for one more of what is counted, zeroed; NULL: no memory. */
static void *grow(void **array, size_t *count, size_t size) {
    if ((*count & (*count - 1)) == 0) { /* doubles at powers of two */
        void *grown = realloc(*array, (*count > 0 ? 2 * *count : 1) * size);
        if (grown == NULL) {
            return NULL;
        }
        *array = grown;
    }
    void *added = (char *)*array + (*count)++ * size;
    memset(added, 0, size);
    return added;
}

#define GROW(logbook, what)                                                                        \
    grow((void **)&(logbook)->what, &(logbook)->what##s, sizeof *(logbook)->what)

/* --- rows */

static bool fail(struct store *store, struct error *error) {
    return error_set(error, "", "%s", sqlite3_errmsg(store->database));
}

static sqlite3_stmt *ask(struct store *store, const char *sql, unsigned bus, uint64_t from_us,
                         uint64_t to_us, struct error *error) {
    sqlite3_stmt *statement = NULL;
    if (sqlite3_prepare_v2(store->database, sql, -1, &statement, NULL) != SQLITE_OK) {
        fail(store, error);
        return NULL;
    }
    sqlite3_bind_int64(statement, 1, bus);
    sqlite3_bind_int64(statement, 2, (int64_t)from_us);
    sqlite3_bind_int64(statement, 3, (int64_t)to_us);
    return statement;
}

static void copy_text(sqlite3_stmt *statement, int column, char *to, size_t size) {
    const unsigned char *text = sqlite3_column_text(statement, column);
    snprintf(to, size, "%s", text != NULL ? (const char *)text : "");
    utf8_clean(to); /* what a record says is not trusted */
}

static double number(sqlite3_stmt *statement, int column) {
    return sqlite3_column_type(statement, column) == SQLITE_NULL
               ? NAN
               : sqlite3_column_double(statement, column);
}

static bool read_bridge(struct logbook *logbook, struct store *store, unsigned bus,
                        struct error *error) {
    sqlite3_stmt *row = ask(store,
                            "SELECT name, travel, unit, service_openings, service_us FROM bridge"
                            " WHERE bus = ?1 ORDER BY id DESC LIMIT 1",
                            bus, 0, 0, error);
    if (row == NULL) {
        return false;
    }
    int result = sqlite3_step(row);
    if (result == SQLITE_ROW) {
        copy_text(row, 0, logbook->name, sizeof logbook->name);
        logbook->bus = bus;
        logbook->travel = sqlite3_column_double(row, 1);
        copy_text(row, 2, logbook->unit, sizeof logbook->unit);
        logbook->service.openings_most = (unsigned)sqlite3_column_int64(row, 3);
        logbook->service.moved_most_us = (uint64_t)sqlite3_column_int64(row, 4);
    } else if (result == SQLITE_DONE) {
        error_set(error, "", "the record knows no bridge on bus %u", bus);
    } else {
        fail(store, error);
    }
    sqlite3_finalize(row);
    return result == SQLITE_ROW;
}

/* Events of kinds that this version does not know are passed over. */
static bool read_event(sqlite3_stmt *row, struct logbook_event *read) {
    char kind[32];
    copy_text(row, 2, kind, sizeof kind);
    read->number = sqlite3_column_int64(row, 0);
    read->run = sqlite3_column_int64(row, 1);
    read->event.at_us = (uint64_t)sqlite3_column_int64(row, 3);
    read->event.serial = (uint64_t)sqlite3_column_int64(row, 4);
    read->event.who = (int32_t)sqlite3_column_int64(row, 5);
    copy_text(row, 6, read->event.what, sizeof read->event.what);
    copy_text(row, 7, read->event.words, sizeof read->event.words);
    read->event.position_frac = number(row, 8);
    read->event.bridge = sqlite3_column_int(row, 9);
    return event_kind_find(kind, &read->event.kind);
}

static bool read_events(struct logbook *logbook, struct store *store, uint64_t from_us,
                        uint64_t to_us, struct error *error) {
    sqlite3_stmt *row =
        ask(store,
            "SELECT event.id, event.run, kind, at_us, serial, who, what, words, position_frac,"
            " ifnull(bridge.number, -1)"
            " FROM event LEFT JOIN bridge ON bridge.id = event.bridge"
            " WHERE (bus = ?1 OR event.bridge IS NULL) AND at_us BETWEEN ?2 AND ?3"
            " ORDER BY event.id",
            logbook->bus, from_us, to_us, error);
    if (row == NULL) {
        return false;
    }
    int result;
    while ((result = sqlite3_step(row)) == SQLITE_ROW) {
        struct logbook_event read;
        if (!read_event(row, &read)) {
            continue;
        }
        struct logbook_event *event = GROW(logbook, event);
        if (event == NULL) {
            break;
        }
        *event = read;
    }
    sqlite3_finalize(row);
    return result == SQLITE_DONE || error_set(error, "", "%s", sqlite3_errmsg(store->database));
}

static bool read_runs(struct logbook *logbook, struct store *store, uint64_t from_us,
                      uint64_t to_us, struct error *error) {
    sqlite3_stmt *row = ask(store,
                            "SELECT run.id, began_us, ended_us FROM run JOIN bridge"
                            " ON bridge.run = run.id WHERE bus = ?1 AND ifnull(ended_us, ?3) >= ?2"
                            " AND began_us <= ?3 ORDER BY run.id",
                            logbook->bus, from_us, to_us, error);
    if (row == NULL) {
        return false;
    }
    int result;
    while ((result = sqlite3_step(row)) == SQLITE_ROW) {
        struct logbook_run *run = GROW(logbook, run);
        if (run == NULL) {
            break;
        }
        run->run = sqlite3_column_int64(row, 0);
        run->began_us = (uint64_t)sqlite3_column_int64(row, 1);
        run->ended_us = (uint64_t)sqlite3_column_int64(row, 2);
    }
    sqlite3_finalize(row);
    return result == SQLITE_DONE || error_set(error, "", "%s", sqlite3_errmsg(store->database));
}

/* --- openings and movements, out of the events */

/* What is known while the events are gone through. */
struct fold {
    struct logbook *logbook;
    bool is_opening; /* the last opening is under way */
    bool is_moving;  /* so is the last movement */
    bool is_raise_asked;
    unsigned waiting;    /* trains */
    uint64_t waiting_us; /* when their number last changed */
    int64_t run;
    bool has_failed;
};

static struct logbook_opening *last_opening(const struct fold *fold) {
    return &fold->logbook->opening[fold->logbook->openings - 1];
}

static struct logbook_movement *last_movement(const struct fold *fold) {
    return &fold->logbook->movement[fold->logbook->movements - 1];
}

static void count_waiting(struct fold *fold, uint64_t now_us, int change) {
    if (fold->is_opening) {
        uint64_t from_us = fold->waiting_us > last_opening(fold)->asked_us
                               ? fold->waiting_us
                               : last_opening(fold)->asked_us;
        last_opening(fold)->trains_us += now_us > from_us ? fold->waiting * (now_us - from_us) : 0;
        last_opening(fold)->trains += change > 0;
    }
    fold->waiting_us = now_us;
    if (change > 0 || fold->waiting > 0) {
        fold->waiting = (unsigned)((int)fold->waiting + change);
    }
}

static enum bridge_phase phase_of(const char *name) {
    for (unsigned i = 0; i < BRIDGE_PHASES; i++) {
        if (strcmp(bridge_phase_name((enum bridge_phase)i), name) == 0) {
            return (enum bridge_phase)i;
        }
    }
    return PHASE_UNPROVED;
}

static void begin_opening(struct fold *fold, const struct logbook_event *read) {
    struct logbook_opening *opening = GROW(fold->logbook, opening);
    if (opening == NULL) {
        fold->has_failed = true;
        return;
    }
    opening->event = read->number;
    opening->run = read->run;
    opening->who = read->event.who;
    opening->asked_us = read->event.at_us;
    opening->trains = fold->waiting;
    opening->most_a = opening->mean_a = NAN;
    fold->is_opening = true;
}

static void end_opening(struct fold *fold, uint64_t at_us, enum logbook_outcome outcome) {
    if (fold->is_opening) {
        count_waiting(fold, at_us, 0);
        struct logbook_opening *opening = last_opening(fold);
        bool is_faulted = opening->outcome == LOGBOOK_FAULTED && outcome != LOGBOOK_CUT_OFF;
        opening->outcome = is_faulted ? LOGBOOK_FAULTED : outcome;
    }
    fold->is_opening = false;
}

static void add_step(struct fold *fold, const struct event *event, enum bridge_phase phase) {
    struct logbook_opening *opening = last_opening(fold);
    opening->ended_us = event->at_us;
    if (phase == PHASE_OPEN && opening->open_us == 0) {
        opening->open_us = event->at_us;
    }
    if (opening->steps < LOGBOOK_STEPS_MAX) {
        opening->step[opening->steps++] =
            (struct logbook_step){phase, event->at_us, event->position_frac};
    }
}

/* Where nothing has to clear, signals at stop and the sections empty, clearing ends in the step in
 * which it begins. */
static bool is_begin(enum bridge_phase phase) {
    return phase == PHASE_CLEARING || phase == PHASE_CUTTING;
}

static void take_phase(struct fold *fold, const struct logbook_event *read) {
    enum bridge_phase phase = phase_of(read->event.what);
    if (is_begin(phase) && !fold->is_opening && fold->is_raise_asked) {
        begin_opening(fold, read);
    }
    if (!fold->is_opening) {
        return;
    }
    add_step(fold, &read->event, phase);
    if (phase == PHASE_FAULT) {
        last_opening(fold)->outcome = LOGBOOK_FAULTED;
    }
    if (phase == PHASE_LINED) {
        bool was_open = last_opening(fold)->open_us != 0;
        end_opening(fold, read->event.at_us, was_open ? LOGBOOK_WHOLE : LOGBOOK_NOT_RAISED);
    }
}

static void take_moved(struct fold *fold, const struct logbook_event *read) {
    struct logbook_movement *movement = GROW(fold->logbook, movement);
    if (movement == NULL) {
        fold->has_failed = true;
        return;
    }
    movement->number = read->number;
    movement->run = read->run;
    movement->began_us = read->event.at_us;
    movement->is_up = strcmp(read->event.what, "up") == 0;
    movement->who = read->event.who;
    snprintf(movement->cause, sizeof movement->cause, "%s", read->event.words);
    movement->from_frac = read->event.position_frac;
    movement->to_frac = NAN;
    fold->is_moving = true;
}

static void take_rested(struct fold *fold, const struct event *event) {
    if (fold->is_moving) {
        last_movement(fold)->ended_us = event->at_us;
        last_movement(fold)->to_frac = event->position_frac;
    }
    fold->is_moving = false;
}

/* The daemon of the run before is gone, or something is missing: what was under way has no end. */
static void take_break(struct fold *fold, const struct logbook_event *read) {
    if (read->run == fold->run && read->event.kind != EVENT_LOST) {
        return;
    }
    if (fold->is_opening) {
        end_opening(fold, last_opening(fold)->ended_us, LOGBOOK_CUT_OFF);
    }
    fold->is_moving = fold->is_raise_asked = false;
    fold->waiting = 0;
    fold->run = read->run;
}

static void take_event(struct fold *fold, const struct logbook_event *read) {
    const struct event *event = &read->event;
    take_break(fold, read);
    switch (event->kind) {
    case EVENT_ASKED:
        if (strcmp(event->what, "raise") == 0 || strcmp(event->what, "lower") == 0) {
            fold->is_raise_asked = event->what[0] == 'r';
        }
        break;
    case EVENT_PHASE:
        take_phase(fold, read);
        break;
    case EVENT_MOVED:
        take_moved(fold, read);
        break;
    case EVENT_RESTED:
        take_rested(fold, event);
        break;
    case EVENT_TRAIN_WAITS:
    case EVENT_TRAIN_GOES:
        count_waiting(fold, event->at_us, event->kind == EVENT_TRAIN_WAITS ? 1 : -1);
        break;
    case EVENT_REFUSED:
    case EVENT_STOPPED:
    case EVENT_FAULT:
    case EVENT_GIVEN_UP:
    case EVENT_SESSION_BEGAN:
    case EVENT_SESSION_ENDED:
    case EVENT_NEWS:
    case EVENT_LOST:
    case EVENT_SERVICED:
    case EVENTS:
        break;
    }
}

/* --- totals */

static struct logbook_run *run_of(struct logbook *logbook, int64_t number) {
    for (size_t i = 0; i < logbook->runs; i++) {
        if (logbook->run[i].run == number) {
            return &logbook->run[i];
        }
    }
    return NULL;
}

static void count_event(struct logbook_run *run, const struct event *event) {
    run->faults += event->kind == EVENT_FAULT;
    run->refusals += event->kind == EVENT_REFUSED;
    run->stops += event->kind == EVENT_STOPPED;
    run->sessions += event->kind == EVENT_SESSION_BEGAN;
}

static uint64_t moved_us(const struct logbook_movement *movement) {
    return movement->ended_us > movement->began_us ? movement->ended_us - movement->began_us : 0;
}

static void count_runs(struct logbook *logbook) {
    struct logbook_run *run;
    for (size_t i = 0; i < logbook->events; i++) {
        if ((run = run_of(logbook, logbook->event[i].run)) != NULL) {
            count_event(run, &logbook->event[i].event);
        }
    }
    for (size_t i = 0; i < logbook->openings; i++) {
        if ((run = run_of(logbook, logbook->opening[i].run)) != NULL) {
            run->openings += logbook->opening[i].open_us != 0;
        }
    }
    for (size_t i = 0; i < logbook->movements; i++) {
        if ((run = run_of(logbook, logbook->movement[i].run)) != NULL) {
            run->movements++;
            run->moved_us += moved_us(&logbook->movement[i]);
        }
    }
}

static void count_service(struct logbook *logbook) {
    struct logbook_service *service = &logbook->service;
    int64_t serviced = 0; /* the number goes on where a clock may go back */
    for (size_t i = 0; i < logbook->events; i++) {
        if (logbook->event[i].event.kind == EVENT_SERVICED) {
            serviced = logbook->event[i].number;
            service->since_us = logbook->event[i].event.at_us;
        }
    }
    for (size_t i = 0; i < logbook->openings; i++) {
        service->openings +=
            logbook->opening[i].event > serviced && logbook->opening[i].open_us != 0;
    }
    for (size_t i = 0; i < logbook->movements; i++) {
        const struct logbook_movement *movement = &logbook->movement[i];
        service->moved_us += movement->number > serviced ? moved_us(movement) : 0;
    }
}

/* --- current */

struct currents {
    struct logbook *logbook;
    size_t at; /* the opening that comes next, or is */
    unsigned points;
};

/* A clock that was set back between two runs lets their times overlap. */
static bool is_over(const struct logbook_opening *opening, const struct trace_point *point) {
    return opening->run < point->run ||
           (opening->run == point->run && opening->ended_us < point->at_us);
}

static void take_point(void *context, const struct trace_point *point) {
    struct currents *currents = context;
    struct logbook *logbook = currents->logbook;
    while (currents->at < logbook->openings && is_over(&logbook->opening[currents->at], point)) {
        currents->at++;
        currents->points = 0;
    }
    bool is_moving = point->phase == PHASE_RAISING || point->phase == PHASE_LOWERING ||
                     point->phase == PHASE_SEATING;
    if (currents->at == logbook->openings || !is_moving || isnan(point->current_a) ||
        logbook->opening[currents->at].run != point->run ||
        logbook->opening[currents->at].asked_us > point->at_us) {
        return;
    }
    struct logbook_opening *opening = &logbook->opening[currents->at];
    opening->most_a = fmax(opening->most_a, point->current_a); /* takes the one that is one */
    double before = currents->points > 0 ? opening->mean_a : 0;
    opening->mean_a = before + (point->current_a - before) / ++currents->points;
}

/* The current of part of an opening compares with no other: it may be that of a motor about to
 * start. */
static void blank_parts(struct logbook *logbook) {
    for (size_t i = 0; i < logbook->openings; i++) {
        struct logbook_opening *opening = &logbook->opening[i];
        if (!logbook_has_ended(opening)) {
            opening->most_a = opening->mean_a = NAN;
        }
    }
}

bool logbook_trace(struct store *store, unsigned bus, uint64_t from_us, uint64_t to_us,
                   void *context, void (*take)(void *context, const struct trace_point *point),
                   struct error *error) {
    sqlite3_stmt *row = ask(store,
                            "SELECT trace.began_us, data, bridge.run FROM trace JOIN bridge"
                            " ON bridge.id = trace.bridge WHERE bus = ?1 AND trace.ended_us >= ?2"
                            " AND trace.began_us <= ?3 ORDER BY trace.id",
                            bus, from_us, to_us, error);
    if (row == NULL) {
        return false;
    }
    int result;
    while ((result = sqlite3_step(row)) == SQLITE_ROW) {
        struct trace_point point = {.at_us = (uint64_t)sqlite3_column_int64(row, 0),
                                    .run = sqlite3_column_int64(row, 2)};
        struct unpack bytes = {.at = sqlite3_column_blob(row, 1),
                               .left = (size_t)sqlite3_column_bytes(row, 1)};
        while (trace_next(&bytes, &point)) {
            if (point.at_us >= from_us && point.at_us <= to_us) {
                take(context, &point);
            }
        }
    }
    sqlite3_finalize(row);
    return result == SQLITE_DONE || fail(store, error);
}

/* --- all of it */

static void fold_events(struct logbook *logbook, bool *has_failed) {
    struct fold fold = {.logbook = logbook};
    for (size_t i = 0; i < logbook->events && !fold.has_failed; i++) {
        take_event(&fold, &logbook->event[i]);
    }
    if (fold.is_opening && logbook->events > 0) {
        count_waiting(&fold, logbook->event[logbook->events - 1].event.at_us, 0);
    }
    *has_failed = fold.has_failed;
}

static bool read_span(struct logbook *logbook, struct store *store, unsigned bus, uint64_t from_us,
                      uint64_t to_us, struct error *error) {
    memset(logbook, 0, sizeof *logbook);
    if (!read_bridge(logbook, store, bus, error) ||
        !read_runs(logbook, store, from_us, to_us, error) ||
        !read_events(logbook, store, from_us, to_us, error)) {
        return false;
    }
    bool has_failed;
    fold_events(logbook, &has_failed);
    count_runs(logbook);
    count_service(logbook);
    struct currents currents = {.logbook = logbook};
    bool is_read = (!has_failed || error_set(error, "", "out of memory")) &&
                   logbook_trace(store, bus, from_us, to_us, &currents, take_point, error);
    blank_parts(logbook);
    return is_read;
}

/* Of part of the record as of the whole. */
static void number_openings(struct logbook *logbook, const struct logbook *all) {
    size_t passed = 0;
    for (size_t i = 0; i < logbook->openings; i++) {
        while (passed < all->openings && all->opening[passed].event <= logbook->opening[i].event) {
            passed++;
        }
        logbook->opening[i].number = (int64_t)passed;
    }
}

bool logbook_read(struct logbook *logbook, struct store *store, unsigned bus, uint64_t from_us,
                  uint64_t to_us, struct error *error) {
    struct logbook all;
    bool is_read = read_span(&all, store, bus, 0, INT64_MAX, error);
    memset(logbook, 0, sizeof *logbook);
    is_read = is_read && read_span(logbook, store, bus, from_us, to_us, error);
    number_openings(logbook, &all);
    logbook->service = all.service;
    logbook_free(&all);
    return is_read;
}

void logbook_free(struct logbook *logbook) {
    free(logbook->event);
    free(logbook->opening);
    free(logbook->movement);
    free(logbook->run);
    logbook->event = NULL;
    logbook->opening = NULL;
    logbook->movement = NULL;
    logbook->run = NULL;
}

bool logbook_has_ended(const struct logbook_opening *opening) {
    return opening->outcome != LOGBOOK_UNDER_WAY && opening->outcome != LOGBOOK_CUT_OFF;
}

const struct logbook_opening *logbook_opening(const struct logbook *logbook, int64_t number) {
    for (size_t i = 0; i < logbook->openings; i++) {
        if (logbook->opening[i].number == number) {
            return &logbook->opening[i];
        }
    }
    return NULL;
}

bool logbook_serviced(struct store *store, unsigned bus, uint64_t now_us, struct error *error) {
    if (!store_do(store, error,
                  "INSERT INTO event (run, bridge, at_us, serial, kind, who, what, words)"
                  " SELECT run, id, max(?2, (SELECT coalesce(max(at_us), 0) FROM event"
                  " WHERE event.run = bridge.run)), 0, 'serviced', 0, '', ''"
                  " FROM bridge WHERE bus = ?1 ORDER BY id DESC LIMIT 1",
                  "ii", (int64_t)bus, (int64_t)now_us)) {
        return false;
    }
    return sqlite3_changes(store->database) == 1 ||
           error_set(error, "", "the record knows no bridge on bus %u", bus);
}
