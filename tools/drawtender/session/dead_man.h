/* dead_man.h: a dead man's handle. A second process sees this one end, by whatever signal, and does
 * what is to be done then. */
#ifndef TOOLS_DRAWTENDER_DEAD_MAN_H
#define TOOLS_DRAWTENDER_DEAD_MAN_H

#include <stdbool.h>
#include <sys/types.h>

struct dead_man {
    int handle;  /* held as long as this is open */
    pid_t other; /* process */
};

/* From now on, if this process ends without dead_man_release(), `act` is called in the other one,
 * which ends with it. There no descriptors are open but the standard ones, and no signal that a
 * terminal sends ends it. Returns false where there is no process to be had. */
bool dead_man_begin(struct dead_man *man, void (*act)(void *context), void *context);

/* Nothing is to be done any more. */
void dead_man_release(struct dead_man *man);

#endif
