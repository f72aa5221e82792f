/* build_pins.h: the chips of a block of a bridge, and its GPIO lines, each for one thing alone. */
#ifndef CONFIG_BUILD_PINS_H
#define CONFIG_BUILD_PINS_H

#include "config/build/build.h"

enum { PINS_MAX = 256 };

struct pins {
    const struct build *build;
    const char *block;         /* its place in the bridge: "/wired" */
    struct wired_setup *setup; /* whose chips they are */
    unsigned count;
    struct wired_pin pin[PINS_MAX]; /* those in use so far */
};

void build_pins_set_chips(struct pins *pins, const struct written_chips *written);

/* Leaves a pin that is not given unused. `place` is relative to the bridge. */
void build_pins_set(struct pins *pins, const char *place, const struct written_pin *written,
                    struct wired_pin *pin);

#endif
