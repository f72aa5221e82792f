/* bus_words.h: one frame of an LCC bus in words, for people. Pure. */
#ifndef TOOLS_DRAWTENDER_BUS_WORDS_H
#define TOOLS_DRAWTENDER_BUS_WORDS_H

#include "tools/drawtender/lcc/bus_reader.h"

#include <stddef.h>

enum { BUS_WORDS_SIZE = 1500 }; /* the longest message, byte by byte */

/* Writes what the frame is, cut to `size`; printable ASCII alone if `name` is: what nodes send
 * reaches a terminal. `name` is what the frame's event is called; "" if it has none. */
void bus_words(const struct bus_frame *heard, const char *name, char *out, size_t size);

/* Returns the name of the frame's kind or of its message's type: "Alias Map Definition", "Event
 * Report"; where it has none, "message of type 048". `room` may be used for it. */
enum { BUS_KIND_SIZE = 32 };
const char *bus_words_kind(const struct bus_frame *heard, char room[BUS_KIND_SIZE]);

/* Returns which frame of its message an addressed one is: "only", "first", "middle", "last"; NULL:
 * it is not addressed. */
const char *bus_words_part(const struct bus_frame *heard);

#endif
