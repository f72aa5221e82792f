/* progress.h: L1. Walks every state of a bridge in a world that obeys it (loop.h): no fault may
 * occur, and from each state in which a request to raise or to lower stands, fair events alone must
 * lead to where it is reached. In a finite system that means: whoever lets every fair event happen
 * again and again, with any chance above zero, comes there with certainty. (line.pml has Spin prove
 * it under weak fairness.) */
#ifndef PROVE_PROGRESS_H
#define PROVE_PROGRESS_H

#include "prove/walks/loop.h"

#include <stddef.h>

struct progress {
    size_t states;
    size_t steps;
    size_t standing;    /* states in which a request stands */
    uint32_t phases;    /* seen, a bit each */
    const char *broken; /* NULL: nothing */
};

/* Tells the way to what is wrong on standard output. Out of memory ends the program. */
struct progress progress_walk(const struct scene *scene);

#endif
