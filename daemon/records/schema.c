#include "records/schema.h"

#include <stdio.h>

/* What makes version n + 1 of version n. Never changed once a release has it: add one. */
static const char *const steps_of[SCHEMA_VERSION] = {
    /* 1: a run of the daemon, its bridges, what happened, and every step. Times are microseconds
     * since the Unix epoch, in layout time. */
    "CREATE TABLE run (id INTEGER PRIMARY KEY, began_us INTEGER NOT NULL, ended_us INTEGER,"
    " version TEXT NOT NULL);"
    "CREATE TABLE bridge (id INTEGER PRIMARY KEY, run INTEGER NOT NULL, number INTEGER NOT NULL,"
    " name TEXT NOT NULL, bus INTEGER NOT NULL, travel REAL NOT NULL, unit TEXT NOT NULL,"
    " shapes INTEGER NOT NULL, setup BLOB NOT NULL);"
    "CREATE TABLE event (id INTEGER PRIMARY KEY, run INTEGER NOT NULL, bridge INTEGER,"
    " at_us INTEGER NOT NULL, serial INTEGER NOT NULL, kind TEXT NOT NULL, who INTEGER NOT NULL,"
    " what TEXT NOT NULL, words TEXT NOT NULL, position_frac REAL);"
    "CREATE TABLE steps (id INTEGER PRIMARY KEY, bridge INTEGER NOT NULL, first INTEGER NOT NULL,"
    " count INTEGER NOT NULL, began_us INTEGER NOT NULL, ended_us INTEGER NOT NULL,"
    " data BLOB NOT NULL);"
    "CREATE INDEX event_time ON event (at_us);"
    "CREATE INDEX steps_time ON steps (began_us);",

    /* 2: traces of position and current that outlive the steps and any change of the core; and when
     * service is due. */
    "CREATE TABLE trace (id INTEGER PRIMARY KEY, bridge INTEGER NOT NULL,"
    " began_us INTEGER NOT NULL, ended_us INTEGER NOT NULL, data BLOB NOT NULL);"
    "CREATE INDEX trace_time ON trace (began_us);"
    "ALTER TABLE bridge ADD COLUMN service_openings INTEGER NOT NULL DEFAULT 0;"
    "ALTER TABLE bridge ADD COLUMN service_us INTEGER NOT NULL DEFAULT 0;",
};

int schema_version(sqlite3 *database) {
    sqlite3_stmt *statement = NULL;
    int version = -1;
    if (sqlite3_prepare_v2(database, "PRAGMA user_version", -1, &statement, NULL) == SQLITE_OK &&
        sqlite3_step(statement) == SQLITE_ROW) {
        version = sqlite3_column_int(statement, 0);
    }
    sqlite3_finalize(statement);
    return version;
}

static bool run(sqlite3 *database, const char *sql, struct error *error) {
    return sqlite3_exec(database, sql, NULL, NULL, NULL) == SQLITE_OK ||
           error_set(error, "", "%s", sqlite3_errmsg(database));
}

static bool step_up(sqlite3 *database, int to, struct error *error) {
    char mark[48];
    snprintf(mark, sizeof mark, "PRAGMA user_version = %d", to);
    return run(database, steps_of[to - 1], error) && run(database, mark, error);
}

bool schema_migrate(sqlite3 *database, int version, struct error *error) {
    int found = schema_version(database);
    if (found < 0) {
        return error_set(error, "", "%s", sqlite3_errmsg(database));
    }
    if (found > SCHEMA_VERSION) {
        return error_set(error, "",
                         "its tables are of version %d, this build knows versions up to %d", found,
                         SCHEMA_VERSION);
    }
    if (found >= version) {
        return true;
    }
    if (!run(database, "BEGIN IMMEDIATE", error)) {
        return false;
    }
    bool is_done = true;
    for (int to = schema_version(database) + 1; is_done && to <= version; to++) {
        is_done = step_up(database, to, error);
    }
    is_done = is_done && run(database, "COMMIT", error);
    if (!is_done) {
        sqlite3_exec(database, "ROLLBACK", NULL, NULL, NULL);
    }
    return is_done;
}
