/* composite_setup.h: which driver serves which lines of a bridge. Plain settings, no pointers. */
#ifndef IO_COMPOSITE_SETUP_H
#define IO_COMPOSITE_SETUP_H

#include "core/words/lines.h"

#include <stdint.h>

enum { COMPOSITE_PARTS_MAX = 8 };

struct composite_part {
    char driver[32];       /* drivers_find() */
    struct line_set lines; /* that it alone serves */
    unsigned which;        /* of the driver's settings, where there are several, as of links */
    uint32_t stale_us;     /* readings not confirmed for longer count as absent; 0: never */
};

struct composite_setup {
    unsigned parts;
    struct composite_part part[COMPOSITE_PARTS_MAX];
};

#endif
