/* wiring_rows.h: what is at which terminal, row by row, to be printed or drawn. */
#ifndef DAEMON_WIRING_ROWS_H
#define DAEMON_WIRING_ROWS_H

#include "core/words/lines.h"
#include "io/wired/wired_setup.h"
#include "stand/setup.h"

enum wiring_part {
    WIRING_CONTACT,   /* or a detector: an input that is made or not */
    WIRING_MEASURED,  /* an input that has a value */
    WIRING_MOTOR,     /* to the power stage */
    WIRING_SERVO,     /* of the lock bar */
    WIRING_OUTPUT,    /* a relay, a lamp, a horn */
    WIRING_HEARTBEAT, /* to the watchdog relay */
};

/* Texts last as long as the call that hands them over. */
struct wiring_row {
    enum wiring_part part;
    const char *terminal, *signal;
    const char *on;    /* level or the like that means on, made, clear */
    const char *safe;  /* and that of the safe state, with what brings it about */
    bool is_to_supply; /* of a contact: it makes to the computer's logic supply, not to 0 V */
};

typedef void wiring_rows_take(const struct wiring_row *row, void *context);

/* Hands over all rows, inputs first. `tracks` names all tracks in use. */
void wiring_rows(const struct wired_setup *setup, const struct line_track tracks[BRIDGE_TRACKS_MAX],
                 wiring_rows_take *take, void *context);

/* The same of a stand: controls, throttle, lamps. */
void wiring_stand_rows(const struct stand_setup *setup,
                       const struct line_track tracks[BRIDGE_TRACKS_MAX], wiring_rows_take *take,
                       void *context);

#endif
