#include "protocol/line.h"

#include <string.h>

/* Characters before the LF. */
enum { BODY_MAX = SRCP_LINE_MAX - 1 };

static bool is_allowed(char c) {
    return (c >= ' ' && c <= '~') || c == '\t';
}

/* Keeps `piece` for later, or begins to drop the line when it cannot be whole any more. */
static void hold(struct srcp_line_reader *reader, struct srcp_text piece) {
    if (reader->is_too_long || piece.length > BODY_MAX - reader->length) {
        reader->is_too_long = true;
        reader->length = 0;
        return;
    }
    if (piece.length > 0) {
        memcpy(reader->held + reader->length, piece.at, piece.length);
        reader->length += piece.length;
    }
}

/* The body of the line whose last piece is `piece`, unless it is too long; the reader is then ready
 * for the next line. */
static bool take_body(struct srcp_line_reader *reader, struct srcp_text piece,
                      struct srcp_text *body) {
    *body = piece;
    if (reader->length > 0 || piece.length > BODY_MAX) {
        hold(reader, piece);
        *body = (struct srcp_text){reader->held, reader->length};
    }
    const bool is_whole = !reader->is_too_long;
    reader->is_too_long = false;
    reader->length = 0;
    return is_whole;
}

static enum srcp_line_kind kind_of(struct srcp_text body, struct srcp_text *line) {
    if (body.length > 0 && body.at[body.length - 1] == '\r') {
        body.length--;
    }
    for (size_t i = 0; i < body.length; i++) {
        if (!is_allowed(body.at[i])) {
            return SRCP_LINE_BAD;
        }
    }
    body = srcp_text_trim(body);
    if (body.length == 0) {
        return SRCP_LINE_NONE;
    }
    *line = body;
    return SRCP_LINE_TEXT;
}

enum srcp_line_kind srcp_line_next(struct srcp_line_reader *reader, struct srcp_text *chunk,
                                   struct srcp_text *line) {
    while (chunk->length > 0) {
        const char *end = memchr(chunk->at, '\n', chunk->length);
        if (end == NULL) {
            hold(reader, *chunk);
            chunk->at += chunk->length;
            chunk->length = 0;
            break;
        }
        const struct srcp_text piece = {chunk->at, (size_t)(end - chunk->at)};
        chunk->at += piece.length + 1;
        chunk->length -= piece.length + 1;
        struct srcp_text body;
        if (!take_body(reader, piece, &body)) {
            return SRCP_LINE_TOO_LONG;
        }
        const enum srcp_line_kind kind = kind_of(body, line);
        if (kind != SRCP_LINE_NONE) {
            return kind;
        }
    }
    return SRCP_LINE_NONE;
}
