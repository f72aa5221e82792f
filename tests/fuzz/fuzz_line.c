/* The line reader: however a stream is cut, its lines are the same, and nothing else. */
#include "fuzz/fuzz.h"
#include "protocol/line.h"

#include <string.h>

/* The next line of one reader that gets the stream in pieces of `piece` bytes. */
static enum srcp_line_kind next(struct srcp_line_reader *reader, struct srcp_text *stream,
                                struct srcp_text *chunk, size_t piece, struct srcp_text *line) {
    enum srcp_line_kind kind = srcp_line_next(reader, chunk, line);
    while (kind == SRCP_LINE_NONE && stream->length > 0) {
        FUZZ_HOLDS(chunk->length == 0);
        chunk->at = stream->at;
        chunk->length = piece < stream->length ? piece : stream->length;
        stream->at += chunk->length;
        stream->length -= chunk->length;
        kind = srcp_line_next(reader, chunk, line);
    }
    return kind;
}

static void check(struct srcp_text line) {
    FUZZ_HOLDS(line.length > 0 && line.length < SRCP_LINE_MAX);
    for (size_t i = 0; i < line.length; i++) {
        FUZZ_HOLDS((line.at[i] >= ' ' && line.at[i] <= '~') || line.at[i] == '\t');
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size == 0) {
        return 0;
    }
    struct srcp_line_reader readers[2] = {0};
    struct srcp_text streams[2] = {{(const char *)data + 1, size - 1},
                                   {(const char *)data + 1, size - 1}};
    struct srcp_text chunks[2] = {{NULL, 0}, {NULL, 0}};
    for (;;) {
        struct srcp_text whole = {NULL, 0};
        struct srcp_text cut = {NULL, 0};
        enum srcp_line_kind kind = next(&readers[0], &streams[0], &chunks[0], size, &whole);
        FUZZ_HOLDS(next(&readers[1], &streams[1], &chunks[1], 1u + data[0], &cut) == kind);
        if (kind == SRCP_LINE_NONE) {
            return 0;
        }
        if (kind == SRCP_LINE_TEXT) {
            check(whole);
            FUZZ_HOLDS(whole.length == cut.length && memcmp(whole.at, cut.at, cut.length) == 0);
        }
    }
}
