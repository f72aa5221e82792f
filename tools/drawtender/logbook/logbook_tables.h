/* logbook_tables.h: what `logbook` and `opening` print. */
#ifndef TOOLS_DRAWTENDER_LOGBOOK_TABLES_H
#define TOOLS_DRAWTENDER_LOGBOOK_TABLES_H

#include "records/read/logbook.h"
#include "tools/drawtender/base/table.h"

#include <stdbool.h>

/* Fills the table that is called so, to be freed; false: none is. */
bool logbook_tables_fill(const struct logbook *logbook, const char *name, struct table *table);

/* The names there are, parted by "|". */
const char *logbook_tables_names(void);

/* The steps of one opening. */
void logbook_tables_opening(const struct logbook *logbook, const struct logbook_opening *opening,
                            struct table *table);

/* A value each in a line: counts, delays, currents, service; the same as JSON. */
void logbook_tables_summary(const struct logbook *logbook, struct table *table);

#endif
