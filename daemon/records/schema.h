/* schema.h: the tables of a record file, and how older files become current ones. The version is
 * SQLite's user_version. */
#ifndef RECORDS_SCHEMA_H
#define RECORDS_SCHEMA_H

#include "base/error.h"

#include <sqlite3.h>
#include <stdbool.h>

enum { SCHEMA_VERSION = 2 };

/* Brings the file to `version`, all or nothing; a file of a later version is refused and left as it
 * is. Returns false and fills error->what. */
bool schema_migrate(sqlite3 *database, int version, struct error *error);

/* -1: it cannot be read. */
int schema_version(sqlite3 *database);

#endif
