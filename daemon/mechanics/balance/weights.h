/* weights.h: which weights would bring the seat's load to the middle of what is wanted, or as near
 * as there are blocks: sliding weights if they reach, else in the leaf's pockets if it has some,
 * else in its counterweight. Of a swing span sliding weights bring the centre of gravity over the
 * pivot.
 * Pure: no I/O, no allocation. Formulas: pockets.h; first moments are linear in a mass. */
#ifndef MECHANICS_WEIGHTS_H
#define MECHANICS_WEIGHTS_H

#include "mechanics/number.h"
#include "mechanics/sizing.h"

#include <stdbool.h>

/* How far the balance angle may be off: practice for single leaves is 20 to 50 degrees (Florida
 * DOT, from memory), which is about 30 and this much either way. */
#define WEIGHTS_ANGLE_WITHIN_RAD (20 * NUMBER_PI / 180)

enum weights_by {
    WEIGHTS_NONE,          /* nothing to change, or not known what is wanted */
    WEIGHTS_POCKETS,       /* whole blocks */
    WEIGHTS_COUNTERWEIGHT, /* any mass */
    WEIGHTS_SLIDES,        /* places of sliding weights */
};

struct weights {
    enum weights_by by;
    struct pockets_answer pockets;
    /* The counterweight's mass for the most and the least load wanted, the blocks as they are; both
     * 0 where it cannot help. Also where the pockets do not reach. */
    double counterweight_least_kg, counterweight_most_kg;
    struct slides_answer slides;
    bool is_slides_reached;
    /* From where to where each alone may be, the others as proposed, for a load on the seat as
     * wanted; NAN: not reached, or a swing span. */
    double slide_least_m[SLIDES_MAX], slide_most_m[SLIDES_MAX];
};

struct weights weights_of(const struct sizing_given *given);

#endif
