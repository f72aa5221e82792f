#include "records/store.h"

#include "records/schema.h"
#include "records/setup.h"

#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { BUSY_MS = 2000, TRIM_ROWS = 200 };

/* SQLite's words, and the system's where it was the system that refused. */
static bool fail(struct store *store, struct error *error) {
    if (store->database == NULL) {
        return error_set(error, "", "out of memory");
    }
    int kind = sqlite3_errcode(store->database) & 0xff;
    bool is_file = kind == SQLITE_CANTOPEN || kind == SQLITE_IOERR;
    int cause = is_file ? sqlite3_system_errno(store->database) : 0;
    return error_set(error, "", "%s%s%s", sqlite3_errmsg(store->database), cause != 0 ? ": " : "",
                     cause != 0 ? strerror(cause) : "");
}

static bool run(struct store *store, const char *sql, struct error *error) {
    return sqlite3_exec(store->database, sql, NULL, NULL, NULL) == SQLITE_OK || fail(store, error);
}

/* Where a file could be neither found nor made: SQLite tells only that it was not found. */
static void blame_folder(const char *file, struct error *error) {
    char folder[RECORD_FILE_SIZE];
    const char *slash = strrchr(file, '/');
    size_t length = slash != NULL ? (size_t)(slash - file) + 1 : 0;
    if (length >= sizeof folder || access(file, F_OK) == 0) {
        return;
    }
    snprintf(folder, sizeof folder, "%.*s", (int)length, file);
    if (access(length > 0 ? folder : ".", W_OK | X_OK) != 0) {
        error_set(error, "", "cannot be made in its folder: %s", strerror(errno));
    }
}

static bool open_file(struct store *store, const char *file, int flags, struct error *error) {
    store->database = NULL;
    if (sqlite3_open_v2(file, &store->database, flags | SQLITE_OPEN_NOMUTEX, NULL) != SQLITE_OK) {
        fail(store, error);
        if ((flags & SQLITE_OPEN_CREATE) != 0) {
            blame_folder(file, error);
        }
        store_close(store);
        return false;
    }
    sqlite3_busy_timeout(store->database, BUSY_MS);
    return true;
}

/* The first is for files that are still empty. */
static const char settings[] = "PRAGMA auto_vacuum = INCREMENTAL;"
                               "PRAGMA journal_mode = WAL;"
                               "PRAGMA journal_size_limit = 4194304;";

bool store_open(struct store *store, const char *file, struct error *error) {
    if (!open_file(store, file, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, error)) {
        return false;
    }
    if (!run(store, settings, error) || !schema_migrate(store->database, SCHEMA_VERSION, error)) {
        store_close(store);
        return false;
    }
    return true;
}

/* A file's name as SQLite takes it in a URI (sqlite.org/uri.html, from memory). False: too long. */
static bool write_uri(const char *file, char *uri, size_t size) {
    size_t at = (size_t)snprintf(uri, size, "file:");
    for (; *file != '\0'; file++) {
        bool is_plain = strchr("%?#", *file) == NULL;
        if (at + 4 > size) {
            return false;
        }
        at +=
            (size_t)snprintf(uri + at, size - at, is_plain ? "%c" : "%%%02X", (unsigned char)*file);
    }
    int length = snprintf(uri + at, size - at, "?immutable=1");
    return length > 0 && (size_t)length < size - at;
}

/* To read a file with a write-ahead log SQLite makes two more beside it. Where this user may not do
 * so, and nobody writes to it (else they are there), it is read as one that does not change. */
static int version_without_log(struct store *store, const char *file, struct error *error) {
    char uri[3 * RECORD_FILE_SIZE + 32];
    if (!write_uri(file, uri, sizeof uri)) {
        return -1;
    }
    store_close(store);
    return open_file(store, uri, SQLITE_OPEN_READONLY | SQLITE_OPEN_URI, error)
               ? schema_version(store->database)
               : -1;
}

static bool has_log(const char *file) {
    char log[RECORD_FILE_SIZE + sizeof "-wal"];
    snprintf(log, sizeof log, "%s-wal", file);
    return access(log, F_OK) == 0;
}

static void explain(struct store *store, const char *file, struct error *error) {
    fail(store, error);
    if ((sqlite3_errcode(store->database) & 0xff) == SQLITE_CANTOPEN && has_log(file)) {
        error_set(error, "",
                  "it has an unmerged log: reading it needs write permission for its folder");
    }
}

bool store_open_to_read(struct store *store, const char *file, struct error *error) {
    if (!open_file(store, file, SQLITE_OPEN_READONLY, error)) {
        return false;
    }
    int version = schema_version(store->database);
    if (version < 0 && (sqlite3_errcode(store->database) & 0xff) == SQLITE_READONLY) {
        version = version_without_log(store, file, error);
    }
    bool is_current = version == SCHEMA_VERSION;
    if (version < 0) {
        explain(store, file, error);
    } else if (version == 0) {
        error_set(error, "", "there is no record in it");
    } else if (!is_current) {
        error_set(error, "", "its tables are of version %d, wanted %d%s", version, SCHEMA_VERSION,
                  version < SCHEMA_VERSION ? ": let the daemon open it once to upgrade it" : "");
    }
    if (!is_current) {
        store_close(store);
    }
    return is_current;
}

void store_close(struct store *store) {
    sqlite3_close(store->database);
    store->database = NULL;
}

bool store_has_moved(struct store *store) {
    int has_moved = 0;
    int result = sqlite3_file_control(store->database, "main", SQLITE_FCNTL_HAS_MOVED, &has_moved);
    return result == SQLITE_OK && has_moved != 0;
}

void store_settle(struct store *store) {
    sqlite3_wal_checkpoint_v2(store->database, NULL, SQLITE_CHECKPOINT_TRUNCATE, NULL, NULL);
}

/* With a write-ahead log a commit waits for the disk under "full" only; under "normal" a loss of
 * power takes the last transactions (sqlite.org/pragma.html#pragma_synchronous, from memory). Not
 * for every commit: it wears a memory card. The log is synchronised whole, with all before it. */
bool store_begin(struct store *store, enum store_outlives outlives, struct error *error) {
    return run(store,
               outlives == STORE_ON_DISK ? "PRAGMA synchronous = FULL; BEGIN IMMEDIATE"
                                         : "PRAGMA synchronous = NORMAL; BEGIN IMMEDIATE",
               error);
}

bool store_commit(struct store *store, struct error *error) {
    return run(store, "COMMIT", error);
}

void store_roll_back(struct store *store) {
    sqlite3_exec(store->database, "ROLLBACK", NULL, NULL, NULL);
}

/* Takes the next of the values: by its place, for on many machines a va_list is handed over as a
 * copy, and the one after it would be the same again. */
static int bind(sqlite3_stmt *statement, int place, char type, va_list *values) {
    switch (type) {
    case 'i':
        return sqlite3_bind_int64(statement, place, va_arg(*values, int64_t));
    case 't':
        return sqlite3_bind_text(statement, place, va_arg(*values, const char *), -1,
                                 SQLITE_TRANSIENT);
    case 'd':
        return sqlite3_bind_double(statement, place, va_arg(*values, double)); /* NAN: NULL */
    case 'b': {
        const struct pack *pack = va_arg(*values, const struct pack *);
        return pack->has_failed
                   ? SQLITE_NOMEM
                   : sqlite3_bind_blob64(statement, place, pack->data, pack->size, SQLITE_STATIC);
    }
    default:
        return SQLITE_MISUSE;
    }
}

bool store_do(struct store *store, struct error *error, const char *sql, const char *types, ...) {
    sqlite3_stmt *statement = NULL;
    int result = sqlite3_prepare_v2(store->database, sql, -1, &statement, NULL);
    va_list values;
    va_start(values, types);
    for (int i = 0; result == SQLITE_OK && types[i] != '\0'; i++) {
        result = bind(statement, i + 1, types[i], &values);
    }
    va_end(values);
    if (result == SQLITE_OK) {
        result = sqlite3_step(statement);
    }
    bool is_done = result == SQLITE_DONE || result == SQLITE_ROW || fail(store, error);
    sqlite3_finalize(statement);
    return is_done;
}

int64_t store_last(const struct store *store) {
    return sqlite3_last_insert_rowid(store->database);
}

bool store_add_event(struct store *store, int64_t run_row, int64_t bridge,
                     const struct event *event, struct error *error) {
    return store_do(store, error,
                    "INSERT INTO event (run, bridge, at_us, serial, kind, who, what, words,"
                    " position_frac) VALUES (?, nullif(?, 0), ?, ?, ?, ?, ?, ?, ?)",
                    "iiiititt"
                    "d",
                    run_row, bridge, (int64_t)event->at_us, (int64_t)event->serial,
                    event_kind_name(event->kind), (int64_t)event->who, event->what, event->words,
                    event->position_frac);
}

/* --- retention */

static int64_t number(struct store *store, const char *sql) {
    sqlite3_stmt *statement = NULL;
    int64_t value = 0;
    if (sqlite3_prepare_v2(store->database, sql, -1, &statement, NULL) == SQLITE_OK &&
        sqlite3_step(statement) == SQLITE_ROW) {
        value = sqlite3_column_int64(statement, 0);
    }
    sqlite3_finalize(statement);
    return value;
}

uint64_t store_size(struct store *store) {
    int64_t pages = number(store, "PRAGMA page_count") - number(store, "PRAGMA freelist_count");
    return (uint64_t)(pages * number(store, "PRAGMA page_size"));
}

/* The tables in the order in which they give way to a limit of size. */
static const struct {
    const char *name;
    const char *end; /* the column that says how old a row is */
} kept[] = {{"steps", "ended_us"}, {"trace", "ended_us"}, {"event", "at_us"}};

static bool trim_table(struct store *store, const char *name, const char *end, uint64_t oldest_us) {
    char sql[256];
    snprintf(sql, sizeof sql,
             "DELETE FROM %s WHERE id IN (SELECT id FROM %s WHERE %s < %lld ORDER BY id LIMIT %d)",
             name, name, end, (long long)oldest_us, (int)TRIM_ROWS);
    return run(store, sql, NULL) && sqlite3_changes(store->database) > 0;
}

bool store_trim(struct store *store, uint64_t oldest_us, uint64_t most_bytes) {
    bool has_trimmed = false;
    for (size_t i = 0; i < sizeof kept / sizeof kept[0]; i++) {
        has_trimmed |= trim_table(store, kept[i].name, kept[i].end, oldest_us);
    }
    bool is_large = most_bytes != 0 && store_size(store) > most_bytes;
    for (size_t i = 0; is_large && !has_trimmed && i < sizeof kept / sizeof kept[0]; i++) {
        has_trimmed = trim_table(store, kept[i].name, kept[i].end, INT64_MAX);
    }
    if (has_trimmed) { /* a run, or a bridge of it, goes with the last that it has left */
        run(store,
            "DELETE FROM bridge WHERE run < (SELECT max(id) FROM run)"
            " AND NOT EXISTS (SELECT 1 FROM event WHERE event.bridge = bridge.id)"
            " AND NOT EXISTS (SELECT 1 FROM steps WHERE steps.bridge = bridge.id)"
            " AND NOT EXISTS (SELECT 1 FROM trace WHERE trace.bridge = bridge.id);"
            "DELETE FROM run WHERE id < (SELECT max(id) FROM run)"
            " AND NOT EXISTS (SELECT 1 FROM bridge WHERE bridge.run = run.id)"
            " AND NOT EXISTS (SELECT 1 FROM event WHERE event.run = run.id);"
            "PRAGMA incremental_vacuum;",
            NULL);
    }
    return has_trimmed;
}
