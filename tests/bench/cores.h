/* cores.h: which processor cores a process may use. */
#ifndef BENCH_CORES_H
#define BENCH_CORES_H

#include <stdbool.h>

/* CORES_SERVER: the last one the bench may use; CORES_LOAD: all others. */
enum cores { CORES_ALL = 0, CORES_SERVER, CORES_LOAD };

/* Whether there are two at least, and they are not to be shared. */
bool cores_can_part(void);

/* From now on everything may run everywhere. */
void cores_share(void);

/* For the calling thread, and what it starts later. Nothing changes unless
 * cores_can_part(). */
void cores_keep_to(enum cores cores);

#endif
