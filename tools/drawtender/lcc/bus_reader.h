/* bus_reader.h: what a reader of an LCC bus knows that only listens: which node has which alias, as
 * far as it was heard, and messages put together from their frames. Pure; time comes in as an
 * argument. */
#ifndef TOOLS_DRAWTENDER_BUS_READER_H
#define TOOLS_DRAWTENDER_BUS_READER_H

#include "protocol/lcc/assembly.h"
#include "tools/drawtender/lcc/bus_type.h"

#include <stdbool.h>
#include <stdint.h>

/* All zero has heard nothing; nothing to free. */
struct bus_reader {
    uint64_t node[LCC_ALIAS_MAX + 1]; /* by alias; 0: not heard */
    struct lcc_assembly assembly;
};

/* One frame as it was heard. Its message points into the frame or the reader, and is good until
 * either changes. */
struct bus_frame {
    uint32_t id; /* 29 bits */
    struct lcc_frame_head head;
    uint64_t source_node; /* 0: not heard yet */
    uint64_t destination_node;
    const struct bus_type *type; /* NULL: no message, or of a type without a name */
    enum lcc_assembled assembled;
    struct lcc_message message; /* what came; of the last frame of several, all of it */
    bool has_event;
    uint64_t event;
};

/* Takes a frame and fills `heard`. */
void bus_reader_take(struct bus_reader *reader, uint64_t now_us, const struct lcc_frame *frame,
                     struct bus_frame *heard);

#endif
