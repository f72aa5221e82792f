/* logbook_plots.h: openings of a record as diagrams. One thread at a time. */
#ifndef PLOTS_LOGBOOK_PLOTS_H
#define PLOTS_LOGBOOK_PLOTS_H

#include "base/error.h"
#include "records/read/logbook.h"

#include <stdbool.h>
#include <stdio.h>

/* Times and currents, opening after opening; where there are more than points, some of them. */
void logbook_plots_draw_openings(FILE *out, const struct logbook *logbook);

/* Position and current over time. False, and `error` filled, if the record cannot be read. */
bool logbook_plots_draw_opening(FILE *out, const struct logbook *logbook,
                                const struct logbook_opening *opening, struct store *store,
                                struct error *error);

/* The same as files: <folder>/<name>-openings.svg, <folder>/<name>-opening-<number>.svg. */
bool logbook_plots_openings(const struct logbook *logbook, const char *folder, struct error *error);

bool logbook_plots_opening(const struct logbook *logbook, const struct logbook_opening *opening,
                           struct store *store, const char *folder, struct error *error);

#endif
