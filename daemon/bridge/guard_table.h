/* guard_table.h: what guards a bridge, as a table and as lines of the log, for people. `tracks`
 * names all tracks in use. */
#ifndef DAEMON_GUARD_TABLE_H
#define DAEMON_GUARD_TABLE_H

#include "core/data/setup.h"
#include "core/words/lines.h"

#include <stdio.h>

/* The restrictive rows first. Of each: how, invariants, condition, what it rests on; below it what
 * that does not see, and what would be better. */
void guard_table_print(FILE *out, const char *bridge, const struct bridge_setup *setup,
                       const struct line_track tracks[BRIDGE_TRACKS_MAX]);

/* The restrictive rows alone, one line each. */
void guard_table_log(const char *bridge, const struct bridge_setup *setup,
                     const struct line_track tracks[BRIDGE_TRACKS_MAX]);

#endif
