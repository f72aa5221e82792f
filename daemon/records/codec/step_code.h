/* step_code.h: a stretch of consecutive steps of one bridge as bytes: the state that it begins in,
 * then of every step what bridge_step() was given and what it gave, bit by bit. Inputs and outputs
 * are written where they differ from the step before. */
#ifndef RECORDS_STEP_CODE_H
#define RECORDS_STEP_CODE_H

#include "core/bridge.h"
#include "records/codec/pack.h"

#include <stdbool.h>
#include <stddef.h>

enum { STEP_CODE_VERSION = 1 };

struct kept_step {
    uint32_t dt_us;
    struct bridge_request request;
    enum bridge_answer answer;
    struct bridge_inputs inputs;
    struct bridge_outputs outputs;
};

struct step_writer {
    struct pack pack;
    struct kept_step last;
    unsigned count; /* steps so far */
};

void step_writer_begin(struct step_writer *writer, const struct bridge_state *before);
void step_writer_add(struct step_writer *writer, const struct kept_step *step);
void step_writer_free(struct step_writer *writer);

struct step_reader {
    struct unpack unpack; /* has_failed: the bytes make no sense here */
    struct kept_step step;
};

/* `data` must outlive the reader. Returns false where the bytes begin with no such state. */
bool step_reader_begin(struct step_reader *reader, const void *data, size_t size,
                       struct bridge_state *before);

/* Decodes the next step into reader->step. Returns false at the end, or if the data is corrupt. */
bool step_reader_next(struct step_reader *reader);

#endif
