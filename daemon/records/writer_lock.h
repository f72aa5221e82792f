/* writer_lock.h: one process at a time keeps a record. A second daemon, started by mistake, would
 * put a run of its own between the steps of the first. */
#ifndef RECORDS_WRITER_LOCK_H
#define RECORDS_WRITER_LOCK_H

#include "base/error.h"

#include <stdbool.h>

enum { WRITER_LOCK_NONE = -1 };

/* Takes the lock on this record, which a file beside it stands for: FILE-lock, empty, which stays.
 * The kernel lets go of it when the process ends, however that happens. Readers need no lock, nor
 * does who writes a single transaction, as `drawtender serviced`: SQLite keeps those apart.
 *
 * Returns the descriptor that holds it, for writer_lock_release(); or WRITER_LOCK_NONE, and fills
 * `error`. Then `is_held` tells whether another process has it; its number is in the words where
 * the kernel knows it. */
int writer_lock_take(const char *file, bool *is_held, struct error *error);

/* WRITER_LOCK_NONE is taken. */
void writer_lock_release(int lock);

#endif
