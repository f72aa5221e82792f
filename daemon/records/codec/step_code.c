#include "records/codec/step_code.h"

#include "records/codec/core_shapes.h"

/* What follows the time of a step. */
enum { HAS_REQUEST = 1, HAS_INPUTS = 2, HAS_OUTPUTS = 4 };

static const struct bridge_state no_state;
static const struct bridge_request no_request;
static const struct kept_step no_step;

void step_writer_begin(struct step_writer *writer, const struct bridge_state *before) {
    pack_clear(&writer->pack);
    writer->last = no_step;
    writer->count = 0;
    pack_byte(&writer->pack, STEP_CODE_VERSION);
    shape_pack(&core_state_shape, &no_state, before, &writer->pack);
}

void step_writer_add(struct step_writer *writer, const struct kept_step *step) {
    struct pack *pack = &writer->pack;
    struct kept_step *last = &writer->last;
    unsigned has = 0;
    has |= step->request.kind != REQUEST_NONE ? HAS_REQUEST : 0u;
    has |= shape_is_same(&core_inputs_shape, &last->inputs, &step->inputs) ? 0u : HAS_INPUTS;
    has |= shape_is_same(&core_outputs_shape, &last->outputs, &step->outputs) ? 0u : HAS_OUTPUTS;
    pack_count(pack, step->dt_us);
    pack_byte(pack, (unsigned char)has);
    if (has & HAS_REQUEST) {
        shape_pack(&core_request_shape, &no_request, &step->request, pack);
        pack_count(pack, step->answer);
    }
    if (has & HAS_INPUTS) {
        shape_pack(&core_inputs_shape, &last->inputs, &step->inputs, pack);
    }
    if (has & HAS_OUTPUTS) {
        shape_pack(&core_outputs_shape, &last->outputs, &step->outputs, pack);
    }
    *last = *step;
    writer->count++;
}

void step_writer_free(struct step_writer *writer) {
    pack_free(&writer->pack);
    writer->count = 0;
}

bool step_reader_begin(struct step_reader *reader, const void *data, size_t size,
                       struct bridge_state *before) {
    *reader = (struct step_reader){.unpack = {.at = data, .left = size}};
    *before = no_state;
    if (unpack_byte(&reader->unpack) != STEP_CODE_VERSION) {
        reader->unpack.has_failed = true;
    }
    return !reader->unpack.has_failed && shape_unpack(&core_state_shape, before, &reader->unpack);
}

bool step_reader_next(struct step_reader *reader) {
    struct unpack *unpack = &reader->unpack;
    struct kept_step *step = &reader->step;
    if (unpack->has_failed || unpack->left == 0) {
        return false;
    }
    step->dt_us = (uint32_t)unpack_count(unpack, UINT32_MAX);
    step->request = no_request;
    step->answer = ANSWER_NONE;
    unsigned has = unpack_byte(unpack);
    if (has > (HAS_REQUEST | HAS_INPUTS | HAS_OUTPUTS)) {
        unpack->has_failed = true;
    }
    if (has & HAS_REQUEST) {
        shape_unpack(&core_request_shape, &step->request, unpack);
        step->answer = (enum bridge_answer)unpack_count(unpack, ANSWER_CAUSE_STANDS);
    }
    if (has & HAS_INPUTS) {
        shape_unpack(&core_inputs_shape, &step->inputs, unpack);
    }
    if (has & HAS_OUTPUTS) {
        shape_unpack(&core_outputs_shape, &step->outputs, unpack);
    }
    return !unpack->has_failed;
}
