/* samples.h: recorded runs in a file: one row a sample. Text in lines of comma-separated values
 * under the heading SAMPLES_HEADING, or a JSON list of objects with those names. */
#ifndef TOOLS_DRAWTENDER_SAMPLES_H
#define TOOLS_DRAWTENDER_SAMPLES_H

#include "base/error.h"
#include "mechanics/balance/balance_test.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#define SAMPLES_HEADING "way,position_deg,speed_deg_s,current_a"

enum { SAMPLES_MAX = 4000 };

/* The caller's memory: two runs and two with a weight fit at a sample a degree many times over. */
struct samples {
    size_t count;
    struct balance_sample sample[SAMPLES_MAX];
};

/* Adds those of a file. Returns false and fills `error`, with the line where it is one. */
bool samples_read(const char *path, bool are_loaded, struct samples *samples, struct error *error);
bool samples_parse(const char *text, bool are_loaded, struct samples *samples, struct error *error);

void samples_print_heading(FILE *out);
void samples_print(FILE *out, const struct balance_sample *sample);

#endif
