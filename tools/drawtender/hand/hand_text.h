/* hand_text.h: a hand and what the bridge makes of it, on one line. Pure. */
#ifndef TOOLS_DRAWTENDER_HAND_TEXT_H
#define TOOLS_DRAWTENDER_HAND_TEXT_H

#include "tools/drawtender/client/picture.h"
#include "tools/drawtender/hand/hand.h"

#include <stddef.h>

/* "up 50% speed | raising 12.4 deg 2.00 deg/s 6.1 V 1.27 A | as you ask"; the speed only while the
 * span is driven. A ? is not known. */
void hand_text(const struct hand *hand, bool is_voltage, const struct picture *picture, char *out,
               size_t size);

/* What bounds it alone, as at the end of the line. Static storage, or the picture's. */
const char *hand_text_bound(const struct hand *hand, const struct picture *picture);

#endif
