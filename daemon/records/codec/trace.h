/* trace.h: position and current over time, coarse enough to be kept long: for plots, and
 * independent of how the core is made. */
#ifndef RECORDS_TRACE_H
#define RECORDS_TRACE_H

#include "core/data/view.h"
#include "records/codec/pack.h"

#include <stdbool.h>
#include <stdint.h>

enum { TRACE_EVERY_US = 100000 };

struct trace_point {
    uint64_t at_us;
    double position_frac; /* not a number: not known */
    double current_a;     /* not a number: not measured */
    enum bridge_phase phase;
    int64_t run; /* set by who reads it: times of two runs may overlap */
};

struct trace_writer {
    struct pack pack;
    uint64_t began_us, last_us; /* of the points in `pack` */
    unsigned count;
    uint64_t kept_us; /* of the last point ever */
    enum bridge_phase phase;
    bool was_moving; /* and no point has been taken at rest since */
};

/* Takes a point where the phase changes, every TRACE_EVERY_US while the span moves, and one that
 * long after: else the last current of a movement would seem to go on until the next. */
void trace_step(struct trace_writer *writer, uint64_t at_us, const struct bridge_view *view);
void trace_clear(struct trace_writer *writer);

/* The next point of a piece that began at point->at_us before the first call; false: no more, or
 * bytes that make no sense. */
bool trace_next(struct unpack *unpack, struct trace_point *point);

#endif
