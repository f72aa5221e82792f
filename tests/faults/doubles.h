/* doubles.h: openings with two faults at once, by chance. */
#ifndef FAULTS_DOUBLES_H
#define FAULTS_DOUBLES_H

#include "faults/trial.h"

#include <stdio.h>

/* Runs `openings` of them; the same seed, the same openings. Writes to `to`, in Markdown, how they
 * ended, and by kind those that were dangerous though every input allowed it. Returns how many
 * broke an invariant or hung; each of these is written, too. */
unsigned doubles_run(unsigned openings, uint64_t seed, FILE *to);

#endif
