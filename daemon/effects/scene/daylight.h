/* daylight.h: how much of the night it is by the layout's clock. Pure. */
#ifndef EFFECTS_SCENE_DAYLIGHT_H
#define EFFECTS_SCENE_DAYLIGHT_H

#include "effects/scene/setup.h"

/* Returns 0 by day, 1 by night, between them at dawn and dusk; `minute` of the day. */
double daylight_night(const struct scene_setup *setup, unsigned minute);

#endif
