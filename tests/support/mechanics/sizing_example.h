/* sizing_example.h: a lift with numbers worked out by hand: a leaf of 93.7 kg with its
 * counterweight (moments at 0 to 80 degrees by a second way: derivative of the potential energy),
 * an operating strut, 10:1 and a worm of 20 mm, 40:1, and the RS-540 motor at 12 V. */
#ifndef SUPPORT_SIZING_EXAMPLE_H
#define SUPPORT_SIZING_EXAMPLE_H

#include "mechanics/sizing.h"

/* With the rack as a string from pin to pinion axis. */
struct chain sizing_example_chain(void);

/* The same within a room, with a train from one end; every verdict is good. */
struct sizing_given sizing_example(void);

#endif
