#include "protocol/lcc/identifier.h"

#include "protocol/lcc/digit.h"

uint64_t lcc_get(const uint8_t *from, unsigned bytes) {
    uint64_t number = 0;
    for (unsigned i = 0; i < bytes; i++) {
        number = number << 8 | from[i];
    }
    return number;
}

void lcc_put(uint8_t *to, uint64_t number, unsigned bytes) {
    for (unsigned i = bytes; i-- > 0; number >>= 8) {
        to[i] = (uint8_t)(number & 0xFF);
    }
}

bool lcc_identifier_read(const char *text, unsigned bytes, uint64_t *number) {
    uint64_t read = 0;
    for (unsigned i = 0; i < bytes; i++, text += 3) {
        int high = lcc_digit_value(text[0]);
        int low = high < 0 ? -1 : lcc_digit_value(text[1]);
        if (low < 0 || text[2] != (i + 1 < bytes ? '.' : '\0')) {
            return false;
        }
        read = read << 8 | (unsigned)(high << 4 | low);
    }
    *number = read;
    return true;
}

void lcc_identifier_write(uint64_t number, unsigned bytes, char *text) {
    uint8_t raw[LCC_EVENT_BYTES];
    lcc_put(raw, number, bytes);
    for (unsigned i = 0; i < bytes; i++, text += 3) {
        text[0] = lcc_digit(raw[i] >> 4);
        text[1] = lcc_digit(raw[i]);
        text[2] = i + 1 < bytes ? '.' : '\0';
    }
}

bool lcc_node_id_is_allowed(uint64_t id) {
    uint64_t first = id >> 40;
    return first > 0 && first < 0xFF;
}
