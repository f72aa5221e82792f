#include "protocol/lcc/gridconnect.h"

#include "protocol/lcc/digit.h"

#include <ctype.h>

enum { ID_DIGITS = 8, HEAD = 2 + ID_DIGITS + 1, ID_MOST = 0x1FFFFFFF };

/* Reads `count` digits. Returns false if one of them is not. */
static bool number_of(const char *text, unsigned count, uint32_t *number) {
    *number = 0;
    for (unsigned i = 0; i < count; i++) {
        int digit = lcc_digit_value(text[i]);
        if (digit < 0) {
            return false;
        }
        *number = *number << 4 | (uint32_t)digit;
    }
    return true;
}

/* Reads what lies between ":" and ";", both included. */
static bool frame_of(const char *text, unsigned length, struct lcc_frame *frame) {
    if (length < HEAD + 1 || toupper((unsigned char)text[1]) != 'X' ||
        toupper((unsigned char)text[HEAD - 1]) != 'N' || (length - HEAD - 1) % 2 != 0) {
        return false;
    }
    *frame = (struct lcc_frame){.length = (uint8_t)((length - HEAD - 1) / 2)};
    if (!number_of(text + 2, ID_DIGITS, &frame->id) || frame->id > ID_MOST) {
        return false;
    }
    for (unsigned i = 0; i < frame->length; i++) {
        uint32_t byte;
        if (!number_of(text + HEAD + 2 * i, 2, &byte)) {
            return false;
        }
        frame->data[i] = (uint8_t)byte;
    }
    return true;
}

/* Returns whether `c` ends a frame that is in order. */
static bool take(struct lcc_grid_reader *reader, char c, struct lcc_frame *frame) {
    if (c == ':') {
        reader->length = 0;
    } else if (reader->length == 0) {
        return false;
    }
    if (reader->length == LCC_GRID_MAX) { /* too long: dropped up to the next ":" */
        reader->length = 0;
        return false;
    }
    reader->held[reader->length++] = c;
    if (c != ';') {
        return false;
    }
    unsigned length = reader->length;
    reader->length = 0;
    return frame_of(reader->held, length, frame);
}

bool lcc_grid_next(struct lcc_grid_reader *reader, const char **from, size_t *length,
                   struct lcc_frame *frame) {
    while (*length > 0) {
        char c = **from;
        (*from)++;
        (*length)--;
        if (take(reader, c, frame)) {
            return true;
        }
    }
    return false;
}

static char *put(char *to, uint32_t number, unsigned count) {
    for (unsigned i = count; i-- > 0; number >>= 4) {
        to[i] = lcc_digit(number);
    }
    return to + count;
}

unsigned lcc_grid_write(const struct lcc_frame *frame, char text[LCC_GRID_WRITTEN]) {
    char *to = text;
    *to++ = ':';
    *to++ = 'X';
    to = put(to, frame->id, ID_DIGITS);
    *to++ = 'N';
    for (unsigned i = 0; i < frame->length; i++) {
        to = put(to, frame->data[i], 2);
    }
    *to++ = ';';
    *to++ = '\n';
    return (unsigned)(to - text);
}
