/* wiring_drawing.h: the wiring of a bridge as a drawing (SVG): terminals, contacts, relays, and
 * what must stand in the motor's supply. */
#ifndef DAEMON_WIRING_DRAWING_H
#define DAEMON_WIRING_DRAWING_H

#include "core/words/lines.h"
#include "io/wired/wired_setup.h"

#include <stdio.h>

/* `tracks` names all tracks in use. */
void wiring_drawing(FILE *out, const char *bridge, const struct wired_setup *setup,
                    const struct line_track tracks[BRIDGE_TRACKS_MAX]);

#endif
