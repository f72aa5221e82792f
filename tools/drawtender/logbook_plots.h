/* logbook_plots.h: openings of a record as diagrams. */
#ifndef TOOLS_DRAWTENDER_LOGBOOK_PLOTS_H
#define TOOLS_DRAWTENDER_LOGBOOK_PLOTS_H

#include "base/error.h"
#include "records/logbook.h"

#include <stdbool.h>

/* <folder>/<name>-openings.svg: times and currents, opening after opening. */
bool logbook_plots_openings(const struct logbook *logbook, const char *folder, struct error *error);

/* <folder>/<name>-opening-<number>.svg: position and current over time. */
bool logbook_plots_opening(const struct logbook *logbook, const struct logbook_opening *opening,
                           struct store *store, const char *folder, struct error *error);

#endif
