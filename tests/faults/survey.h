/* survey.h: every single fault at every moment, with and without a train; and the table of it. */
#ifndef FAULTS_SURVEY_H
#define FAULTS_SURVEY_H

#include "faults/trial.h"

#include <stdio.h>

enum { SURVEY_DEFECTS_MAX = 200 };

struct survey {
    enum fault_bridge bridge;
    unsigned defects;
    struct outcome outcome[SURVEY_DEFECTS_MAX][MOMENTS][TRAIN_SCENES];
    bool was_tried[SURVEY_DEFECTS_MAX][MOMENTS][TRAIN_SCENES];
};

/* Tries every `stride`-th of all trials. */
void survey_run(struct survey *survey, enum fault_bridge bridge, uint32_t debounce_us,
                unsigned stride);

/* Calls `wrong` for every trial that breaks an invariant, hangs, is not mended, or is dangerous in
 * a way that the catalogue does not tell. Returns how many. */
unsigned survey_check(const struct survey *survey, FILE *to);

/* Writes the part of this bridge, in Markdown: the first is the head of all. */
void survey_write(const struct survey *survey, FILE *to);

#endif
