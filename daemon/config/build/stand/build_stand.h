/* build_stand.h: what the files that build a stand share. */
#ifndef CONFIG_BUILD_STAND_H
#define CONFIG_BUILD_STAND_H

#include "config/build/build_pins.h"

struct standing {
    struct build *build;
    const struct written_stand *written;
    struct stand_setup *setup;
    struct pins pins;
};

/* The input device of this name, the first for none; otherwise a complaint. */
bool build_stand_find_device(const struct standing *standing, struct place place,
                             const char *written, unsigned *device);
bool build_stand_has(const struct standing *standing, enum stand_control_kind kind);

/* Called by build_stand(), in this order: devices are known, then the controls. */
void build_stand_throttle(struct standing *standing);
void build_stand_grip(const struct standing *standing);
void build_stand_lamps(struct standing *standing);

#endif
