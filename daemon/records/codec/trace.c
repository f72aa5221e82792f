#include "records/codec/trace.h"

#include "core/bridge.h"

#include <math.h>

enum { PIECE_MOST_US = 0x7fffffff };

static void add(struct trace_writer *writer, uint64_t at_us, const struct bridge_view *view) {
    const struct motion_state *motion = &view->state.motion;
    if (writer->count == 0) {
        writer->began_us = writer->last_us = at_us;
    }
    pack_count(&writer->pack, at_us - writer->last_us);
    pack_byte(&writer->pack, (unsigned char)view->state.phase);
    pack_number(&writer->pack, motion->is_known ? motion->position_frac : NAN);
    pack_number(&writer->pack, view->inputs.current_a);
    writer->last_us = writer->kept_us = at_us;
    writer->count++;
}

void trace_step(struct trace_writer *writer, uint64_t at_us, const struct bridge_view *view) {
    bool is_moving = view->state.phase == PHASE_RAISING || view->state.phase == PHASE_LOWERING ||
                     view->state.phase == PHASE_SEATING || bridge_is_moving(&view->outputs);
    bool is_new = view->state.phase != writer->phase || writer->kept_us == 0;
    bool is_due = (is_moving || writer->was_moving) && at_us - writer->kept_us >= TRACE_EVERY_US;
    if (is_due || is_new) {
        add(writer, at_us, view);
        writer->phase = view->state.phase;
    }
    bool has_ended = is_due && !is_new && !is_moving;
    writer->was_moving = is_moving || (writer->was_moving && !has_ended);
}

void trace_clear(struct trace_writer *writer) {
    pack_clear(&writer->pack);
    writer->count = 0;
}

bool trace_next(struct unpack *unpack, struct trace_point *point) {
    if (unpack->left == 0 || unpack->has_failed) {
        return false;
    }
    point->at_us += unpack_count(unpack, PIECE_MOST_US);
    unsigned phase = unpack_byte(unpack);
    point->phase = phase < BRIDGE_PHASES ? (enum bridge_phase)phase : PHASE_UNPROVED;
    point->position_frac = unpack_number(unpack);
    point->current_a = unpack_number(unpack);
    return !unpack->has_failed && phase < BRIDGE_PHASES;
}
