/* gridconnect.h: frames as text over TCP, ":X" and 8 hexadecimal digits, "N", up to 16 digits, ";".
 * There is no adopted text of this form; it is what programs in common use read and write
 * (convention, no source). Capitals are written, both cases are read; anything between frames is
 * passed over, and what is malformed is dropped without a word. */
#ifndef PROTOCOL_LCC_GRIDCONNECT_H
#define PROTOCOL_LCC_GRIDCONNECT_H

#include "protocol/lcc/frame.h"

#include <stdbool.h>
#include <stddef.h>

/* The longest frame, ":X195B44F7N0A44520000010002;". */
enum { LCC_GRID_MAX = 28 };

/* All zero is a reader between frames; nothing to free. */
struct lcc_grid_reader {
    char held[LCC_GRID_MAX]; /* from ":" on */
    unsigned length;         /* 0: between frames */
};

/* Takes bytes off the front of `*from` until a frame is whole. Returns false when all of them are
 * taken and no frame is; call again until then. Frames for 11-bit ids and remote frames are passed
 * over. */
bool lcc_grid_next(struct lcc_grid_reader *reader, const char **from, size_t *length,
                   struct lcc_frame *frame);

/* Writes a frame and a line end, without a zero. Returns how many characters. */
enum { LCC_GRID_WRITTEN = LCC_GRID_MAX + 1 };
unsigned lcc_grid_write(const struct lcc_frame *frame, char text[LCC_GRID_WRITTEN]);

#endif
