#include "stand/row.h"

#include <math.h>
#include <string.h>

static size_t shift_bytes(const struct stand_row *row, const bool lit[], unsigned char bytes[]) {
    size_t count = (row->places + 7) / 8;
    memset(bytes, row->is_inversed ? 0xff : 0, count);
    for (unsigned place = 0; place < row->places; place++) {
        size_t turn = count * 8 - 1 - place; /* of its bit: the farthest lamp's is the first */
        if (lit[place]) {
            bytes[turn / 8] ^= (unsigned char)(0x80 >> turn % 8);
        }
    }
    return count;
}

static size_t colour_bytes(const struct stand_row *row, const bool lit[],
                           const enum stand_colour colour[], unsigned char bytes[]) {
    static const unsigned char blue_green_red[STAND_COLOURS][3] = {
        {255, 255, 255}, {0, 0, 255}, {0, 255, 0}, {0, 160, 255}, {255, 0, 0}};
    unsigned char brightness = (unsigned char)(0xe0 | lround(31 * row->brightness));
    size_t count = 4;
    memset(bytes, 0, count);
    for (unsigned place = 0; place < row->places; place++) {
        bytes[count++] = brightness;
        for (unsigned i = 0; i < 3; i++) {
            bytes[count++] = lit[place] ? blue_green_red[colour[place]][i] : 0;
        }
    }
    size_t rest = 4 + row->places / 16 + 1;
    memset(bytes + count, 0, rest);
    return count + rest;
}

size_t row_bytes(const struct stand_row *row, const bool lit[STAND_PLACES_MAX],
                 const enum stand_colour colour[STAND_PLACES_MAX],
                 unsigned char bytes[ROW_BYTES_MAX]) {
    return row->kind == STAND_ROW_SHIFT_REGISTER ? shift_bytes(row, lit, bytes)
                                                 : colour_bytes(row, lit, colour, bytes);
}
