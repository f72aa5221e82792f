/* desk.h: all buttons and switches of a stand together: what is pressed, what that asks of the
 * bridge, and who may operate. A button asks once, when it is pressed.
 * Pure; times in microseconds. */
#ifndef STAND_DESK_H
#define STAND_DESK_H

#include "core/data/request.h"
#include "stand/contact.h"
#include "stand/setup.h"

#include <stdbool.h>
#include <stdint.h>

struct desk {
    const struct stand_setup *setup;
    struct contact contact[STAND_CONTROLS_MAX];
    bool is_local; /* as the selector last said: one that cannot be read changes nothing */
};

struct desk_news {
    enum contact_news what;
    enum bridge_request_kind asks; /* REQUEST_NONE: nothing */
};

void desk_init(struct desk *desk, const struct stand_setup *setup);

/* Takes the reading of one control, ON while its contact is made or its key is down. Fills `news`
 * and returns whether there is any; to be called again until there is none. */
bool desk_look(struct desk *desk, unsigned control, enum level reading, uint64_t now_us,
               struct desk_news *news);

/* Whether a control of this kind is pressed, or switched on. */
bool desk_is_pressed(const struct desk *desk, enum stand_control_kind kind);

/* Whether there is a control of this kind. */
bool desk_has(const struct desk *desk, enum stand_control_kind kind);

/* Whether nothing keeps this away: the two stops (S9), and what silences the horn. */
bool desk_is_always_allowed(enum bridge_request_kind kind);

/* Why the stand's people may not ask this, in words; NULL: they may. */
const char *desk_refuses_itself(const struct desk *desk, enum bridge_request_kind kind);

/* The same of everybody else. */
const char *desk_refuses_others(const struct desk *desk, enum bridge_request_kind kind);

/* Returns the time until a control changes by itself; UINT32_MAX: none will. */
uint32_t desk_wake_us(const struct desk *desk, uint64_t now_us);

#endif
