/* store.h: a record file: SQLite with a write-ahead log. A process that dies at any time leaves
 * whole transactions, and all that were committed. Used by one thread at a time. */
#ifndef RECORDS_STORE_H
#define RECORDS_STORE_H

#include "base/error.h"
#include "core/data/setup.h"
#include "records/codec/pack.h"
#include "records/event.h"

#include <sqlite3.h>
#include <stdbool.h>
#include <stdint.h>

struct store {
    sqlite3 *database; /* NULL: closed */
};

/* Makes the file where there is none, and brings it to the current version. */
bool store_open(struct store *store, const char *file, struct error *error);
/* Only to read; a file of another version is refused. Who may not write in its folder can read it
 * all the same, unless it was left with a log and without the memory that goes with it. */
bool store_open_to_read(struct store *store, const char *file, struct error *error);
void store_close(struct store *store);

/* Whether its name leads elsewhere by now: the file was deleted, moved or replaced. */
bool store_has_moved(struct store *store);
/* Whatever is still in the log goes into the file itself, wherever that is; what has taken its
 * name finds an empty log. */
void store_settle(struct store *store);

/* What a transaction that is committed outlives. */
enum store_outlives {
    STORE_WITH_SYSTEM = 0, /* the process; a loss of power may take the last ones */
    STORE_ON_DISK,         /* a loss of power too: the commit waits for the disk */
};
bool store_begin(struct store *store, enum store_outlives outlives, struct error *error);
bool store_commit(struct store *store, struct error *error);
void store_roll_back(struct store *store);

/* One statement; `types` tells what follows: i int64_t, t const char *, d double (not a number: no
 * value), b const struct pack *. */
bool store_do(struct store *store, struct error *error, const char *sql, const char *types, ...);

/* The row that the last store_do() added. */
int64_t store_last(const struct store *store);

/* `bridge` is the row of its bridge; 0: none. */
bool store_add_event(struct store *store, int64_t run, int64_t bridge, const struct event *event,
                     struct error *error);

/* Takes away what ended before `oldest_us`, and the oldest beyond `most_bytes` (0: no limit), the
 * steps first. A bounded piece of work; returns whether there is more to do. */
bool store_trim(struct store *store, uint64_t oldest_us, uint64_t most_bytes);

/* Bytes of the file that are in use. */
uint64_t store_size(struct store *store);

#endif
