/* controller.h: a motor controller at a pseudo-terminal, played by the test. A link in a folder of
 * the test's own leads to it, so that another can be plugged in under the same name. */
#ifndef SUPPORT_CONTROLLER_H
#define SUPPORT_CONTROLLER_H

#include "support/daemon/tree.h"

#include <stdbool.h>

struct controller {
    int fd; /* -1: unplugged */
    struct tree tree;
    char device[96];
    char heard[256];
};

/* Plugged in. */
void controller_start(struct controller *controller);
void controller_stop(struct controller *controller);

void controller_plug_in(struct controller *controller);
void controller_unplug(struct controller *controller);

/* Waits until it has heard `last`; returns all that it has heard in this call. */
const char *controller_hear(struct controller *controller, const char *last);
/* Returns whether nothing waits to be heard. */
bool controller_is_silent(const struct controller *controller);
void controller_say(const struct controller *controller, const char *text);

#endif
