/* movement.h: whether a raise or a lower that was granted has come to its end, by the picture of
 * the bridge. Pure. */
#ifndef TOOLS_DRAWTENDER_MOVEMENT_H
#define TOOLS_DRAWTENDER_MOVEMENT_H

#include "tools/drawtender/client/picture.h"

enum movement { MOVEMENT_UP = 0, MOVEMENT_DOWN };

enum movement_end {
    MOVEMENT_GOES_ON = 0,
    MOVEMENT_ARRIVED, /* open for river, or lined for rail */
    MOVEMENT_FAULTED,
    MOVEMENT_HELD,     /* by a stop, or because it gave up on the way */
    MOVEMENT_REVERSED, /* somebody asked for the other way */
    MOVEMENT_GIVEN_UP, /* the bridge no longer means to: trains did not clear in time */
};

/* `picture` must have all that the grant has changed. A bridge lifted by hand may be on its way
 * without a goal: that alone is no end. */
enum movement_end movement_judge(enum movement movement, const struct picture *picture);

/* "raise", "lower". */
const char *movement_name(enum movement movement);

/* For people: "the span is open for the river". Static storage. */
const char *movement_end_text(enum movement movement, enum movement_end end);

#endif
