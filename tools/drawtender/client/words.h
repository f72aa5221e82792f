/* words.h: what a device of the bridge shows, in words. One table, for text and JSON alike. */
#ifndef TOOLS_DRAWTENDER_WORDS_H
#define TOOLS_DRAWTENDER_WORDS_H

#include "tools/drawtender/client/picture.h"

#include <stdbool.h>
#include <stddef.h>

enum words_sort {
    WORDS_OTHER = 0, /* nothing known of it */
    WORDS_SPAN,      /* told by the phase instead */
    WORDS_GEAR,      /* lock, horn, river lights */
    WORDS_SIGNAL,
    WORDS_CONTACT,
    WORDS_SECTION,
};

enum words_sort words_sort(const struct picture_device *device);

/* The port that tells the device's state: the others say the same the other way round. */
unsigned words_port(const struct picture_device *device);

/* "proceed", "occupied", "yes"; "unknown" where nothing was told. Static storage; NULL for
 * WORDS_OTHER and WORDS_SPAN. */
const char *words_of(const struct picture_device *device);

/* The device's label for people: "main west" for "signal main west", "river lights" for "river". */
const char *words_name(const struct picture_device *device);

/* Who holds the device: "the bridge", "session 7". Writes nothing but "" if nobody does. */
void words_holder(const struct picture_device *device, char *out, size_t size);

#endif
