/* wiring.h: the wiring table of a bridge, for people: what is at which terminal. */
#ifndef DAEMON_WIRING_H
#define DAEMON_WIRING_H

#include "core/words/lines.h"
#include "io/wired/wired_setup.h"
#include "stand/setup.h"

#include <stdio.h>

/* `tracks` names all tracks in use. */
void wiring_print(FILE *out, const char *bridge, const struct wired_setup *setup,
                  const struct line_track tracks[BRIDGE_TRACKS_MAX]);

/* The same of the bridge's stand. */
void wiring_print_stand(FILE *out, const char *bridge, const struct stand_setup *setup,
                        const struct line_track tracks[BRIDGE_TRACKS_MAX]);

#endif
