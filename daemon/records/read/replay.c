#include "records/read/replay.h"

#include "core/words/names.h"
#include "records/codec/core_shapes.h"

#include <stdio.h>
#include <string.h>

bool replay_step(const struct bridge_setup *setup, struct bridge_state *state,
                 const struct kept_step *step, char *what, size_t size) {
    struct bridge_outputs outputs;
    memset(&outputs, 0, sizeof outputs);
    struct shape_difference difference;
    enum bridge_answer answer =
        bridge_step(setup, state, &step->inputs, &step->request, step->dt_us, &outputs);
    if (shape_differs(&core_outputs_shape, &step->outputs, &outputs, &difference)) {
        snprintf(what, size, "outputs %s: recorded %s, now %s", difference.path, difference.one,
                 difference.other);
        return false;
    }
    if (step->request.kind != REQUEST_NONE && answer != step->answer) {
        snprintf(what, size, "answer to %s: recorded \"%s\", now \"%s\"",
                 bridge_request_name(step->request.kind), bridge_answer_text(step->answer),
                 bridge_answer_text(answer));
        return false;
    }
    return true;
}

/* One replay under way. */
struct replay {
    const struct replay_watcher *watcher;
    struct replay_result *result;
    sqlite3_stmt *piece;
    int64_t bridge;  /* its row; 0: none yet */
    bool is_foreign; /* recorded by a core with other members */
    struct bridge_setup setup;
    struct bridge_state state; /* as replayed so far */
    uint64_t next;             /* serial that goes on from it; 0: none does */
};

enum column { BRIDGE = 0, FIRST, COUNT, BEGAN, DATA, SHAPES, SETUP, NAME, RUN_BEGAN, VERSION };

static const char query[] =
    "SELECT steps.bridge, first, count, steps.began_us, data, shapes, setup, name, run.began_us,"
    " version FROM steps JOIN bridge ON bridge.id = steps.bridge JOIN run ON run.id = bridge.run"
    " WHERE (?1 = 0 OR bus = ?1) AND steps.ended_us >= ?2 AND steps.began_us <= ?3"
    " AND (?4 = 0 OR bridge.run = ?4)"
    " ORDER BY steps.bridge, first";

static struct unpack blob(const struct replay *replay, enum column column) {
    return (struct unpack){.at = sqlite3_column_blob(replay->piece, (int)column),
                           .left = (size_t)sqlite3_column_bytes(replay->piece, (int)column)};
}

static void copy_version(const struct replay *replay, char version[32]) {
    const char *text = (const char *)sqlite3_column_text(replay->piece, VERSION);
    snprintf(version, 32, "%.31s", text != NULL ? text : "");
}

static void pass_over(struct replay *replay) {
    struct replay_foreign *foreign = &replay->result->foreign;
    foreign->runs++;
    foreign->last_us = (uint64_t)sqlite3_column_int64(replay->piece, RUN_BEGAN);
    copy_version(replay, foreign->version);
}

static bool take_bridge(struct replay *replay, struct error *error) {
    int64_t bridge = sqlite3_column_int64(replay->piece, BRIDGE);
    if (bridge == replay->bridge) {
        return true;
    }
    replay->bridge = bridge;
    replay->next = 0;
    replay->is_foreign =
        (uint64_t)sqlite3_column_int64(replay->piece, SHAPES) != core_shapes_print();
    if (replay->is_foreign) {
        pass_over(replay);
        return true;
    }
    struct unpack setup = blob(replay, SETUP);
    memset(&replay->setup, 0, sizeof replay->setup);
    if (!shape_unpack(&core_setup_shape, &replay->setup, &setup) ||
        bridge_setup_fault(&replay->setup) != NULL) {
        return error_set(error, "", "the setup of \"%s\" is corrupt",
                         (const char *)sqlite3_column_text(replay->piece, NAME));
    }
    return true;
}

static bool differ(struct replay *replay, uint64_t serial, uint64_t at_us, const char *what) {
    struct replay_difference *difference = &replay->result->difference;
    difference->serial = serial;
    difference->at_us = at_us;
    copy_version(replay, difference->version);
    snprintf(difference->what, sizeof difference->what, "%s", what);
    return false;
}

/* The state that a piece begins in is the one that the piece before it ended in. */
static bool take_state(struct replay *replay, const struct bridge_state *begun, uint64_t first,
                       uint64_t at_us) {
    struct shape_difference difference;
    char what[256];
    if (first != replay->next) {
        replay->result->stretches++;
        if (replay->watcher != NULL) {
            replay->watcher->begin(replay->watcher->context,
                                   (const char *)sqlite3_column_text(replay->piece, NAME),
                                   &replay->setup, begun);
        }
    } else if (shape_differs(&core_state_shape, begun, &replay->state, &difference)) {
        snprintf(what, sizeof what, "state %s before it: recorded %s, now %s", difference.path,
                 difference.one, difference.other);
        return differ(replay, first, at_us, what);
    }
    replay->state = *begun;
    return true;
}

/* Whether all is as recorded. */
static bool run_piece(struct replay *replay) {
    struct unpack bytes = blob(replay, DATA);
    uint64_t serial = (uint64_t)sqlite3_column_int64(replay->piece, FIRST);
    uint64_t end = serial + (uint64_t)sqlite3_column_int64(replay->piece, COUNT);
    uint64_t at_us = (uint64_t)sqlite3_column_int64(replay->piece, BEGAN);
    struct step_reader reader;
    struct bridge_state begun;
    char what[256];
    if (!step_reader_begin(&reader, bytes.at, bytes.left, &begun)) {
        return differ(replay, serial, at_us, "the record is corrupt here");
    }
    if (!take_state(replay, &begun, serial, at_us)) {
        return false;
    }
    for (bool is_first = true; step_reader_next(&reader); is_first = false) {
        at_us += is_first ? 0 : reader.step.dt_us;
        if (replay->watcher != NULL) {
            replay->watcher->step(replay->watcher->context, at_us, &reader.step);
        }
        if (!replay_step(&replay->setup, &replay->state, &reader.step, what, sizeof what)) {
            return differ(replay, serial, at_us, what);
        }
        replay->result->steps++;
        serial++;
    }
    if (reader.unpack.has_failed || serial != end) {
        return differ(replay, serial, at_us, "the record is corrupt here");
    }
    replay->next = serial;
    replay->result->pieces++;
    return true;
}

static bool run_all(struct replay *replay, struct store *store, struct error *error) {
    int row;
    while ((row = sqlite3_step(replay->piece)) == SQLITE_ROW) {
        if (!take_bridge(replay, error)) {
            return false;
        }
        if (!replay->is_foreign && !run_piece(replay)) {
            return true; /* told in the result */
        }
    }
    return row == SQLITE_DONE || error_set(error, "", "%s", sqlite3_errmsg(store->database));
}

bool replay_run(struct store *store, const struct replay_span *span,
                const struct replay_watcher *watcher, struct replay_result *result,
                struct error *error) {
    struct replay replay = {.watcher = watcher, .result = result};
    memset(result, 0, sizeof *result);
    if (sqlite3_prepare_v2(store->database, query, -1, &replay.piece, NULL) != SQLITE_OK) {
        return error_set(error, "", "%s", sqlite3_errmsg(store->database));
    }
    sqlite3_bind_int64(replay.piece, 1, span->bus);
    sqlite3_bind_int64(replay.piece, 2, (int64_t)span->from_us);
    sqlite3_bind_int64(replay.piece, 3, (int64_t)span->to_us);
    sqlite3_bind_int64(replay.piece, 4, span->run);
    bool is_read = run_all(&replay, store, error);
    sqlite3_finalize(replay.piece);
    return is_read;
}
