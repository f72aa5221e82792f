/* kept.h: a stretch of steps as a text file that people can read, review and keep as a test. One
 * line a value, where it is not that of the step before:
 *
 *   drawtender steps 1
 *   about stall while raising
 *   setup motion.full_speed_frac_s 0x1.47ae147ae147bp-6
 *   state phase 6
 *   step 10000                  microseconds since the step before
 *   request kind 1              only where something is asked; answer: what bridge_step() said
 *   answer 1
 *   inputs position_frac 0x1p-3
 *   outputs lift_effort 0x0p+0
 *
 * Members that are not named are zero at first. */
#ifndef RECORDS_KEPT_H
#define RECORDS_KEPT_H

#include "base/error.h"
#include "records/read/replay.h"

#include <stdbool.h>
#include <stdio.h>

struct kept_writer {
    FILE *out;
    struct kept_step last;
    unsigned stretches; /* only the first is written: a test is one */
};

void kept_begin(struct kept_writer *writer, const char *about, const struct bridge_setup *setup,
                const struct bridge_state *state);
void kept_step_write(struct kept_writer *writer, const struct kept_step *step);

/* For tests: runs all of a kept stretch. Returns false and fills `error`, with the line, where a
 * line makes no sense; differences are told in the result, whose serial counts the steps of the
 * file from 1. */
bool kept_run(FILE *in, struct replay_result *result, struct error *error);

#endif
