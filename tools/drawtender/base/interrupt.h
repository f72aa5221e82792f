/* interrupt.h: Ctrl-C, SIGTERM and a terminal that goes (SIGHUP, unless it is ignored, as under
 * nohup) as something to poll for, so that a movement that is being watched is stopped and not just
 * left alone. */
#ifndef TOOLS_DRAWTENDER_INTERRUPT_H
#define TOOLS_DRAWTENDER_INTERRUPT_H

#include <stdbool.h>

/* From now on the first of each of these signals is caught; the next ends the program as usual.
 * Returns a descriptor that becomes readable then, or -1 (signals stay as they were). */
int interrupt_catch(void);

/* Puts the signals back and closes the descriptor. */
void interrupt_release(void);

#endif
