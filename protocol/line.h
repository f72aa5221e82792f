/* line.h: cuts a stream of bytes into lines, in bounded memory and in time linear in the bytes.
 * A line ends with LF or CR LF and has at most SRCP_LINE_MAX characters, its end included (the
 * limit is recalled from SRCP 0.8.4; what follows from breaking it is ours, see README.md). */
#ifndef PROTOCOL_LINE_H
#define PROTOCOL_LINE_H

#include "protocol/text.h"

#include <stdbool.h>
#include <stddef.h>

enum { SRCP_LINE_MAX = 1000 };

enum srcp_line_kind {
    SRCP_LINE_NONE = 0, /* no whole line left in the chunk; all of it was taken */
    SRCP_LINE_TEXT,     /* a line of printable ASCII, blanks and tabs, never empty */
    SRCP_LINE_BAD,      /* some other byte in it, NUL included: 410 */
    SRCP_LINE_TOO_LONG, /* dropped up to its end: 418. Told once, at its end */
};

/* All zero is a reader at the beginning of a line; nothing to free. */
struct srcp_line_reader {
    char held[SRCP_LINE_MAX]; /* of a line that began in an earlier chunk */
    size_t length;
    bool is_too_long; /* the line being read is, and is being dropped */
};

/* Takes one line off the front of `chunk` (any cut of the stream, any length). Call again until
 * SRCP_LINE_NONE; to stop between lines (a client's WAIT), keep the rest of `chunk` and come back.
 * Only SRCP_LINE_TEXT fills `line`, without its end and without blanks at both ends; it points into
 * the chunk, or into the reader for a line that came in pieces, and is good until either changes.
 * Lines that are empty or blank are passed over. A last line without an end is never told. */
enum srcp_line_kind srcp_line_next(struct srcp_line_reader *reader, struct srcp_text *chunk,
                                   struct srcp_text *line);

#endif
