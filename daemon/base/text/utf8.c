#include "base/text/utf8.h"

#include <stdbool.h>
#include <string.h>

size_t utf8_length(const char *text, size_t left) {
    const unsigned char *byte = (const unsigned char *)text;
    size_t size = byte[0] < 0x80   ? 1
                  : byte[0] < 0xc2 ? 0
                  : byte[0] < 0xe0 ? 2
                  : byte[0] < 0xf0 ? 3
                  : byte[0] < 0xf5 ? 4
                                   : 0;
    if (size == 0 || size > left) {
        return 0;
    }
    for (size_t i = 1; i < size; i++) {
        if ((byte[i] & 0xc0) != 0x80) {
            return 0;
        }
    }
    bool is_overlong = (byte[0] == 0xe0 && byte[1] < 0xa0) || (byte[0] == 0xf0 && byte[1] < 0x90);
    bool is_surrogate = byte[0] == 0xed && byte[1] > 0x9f;
    bool is_beyond = byte[0] == 0xf4 && byte[1] > 0x8f;
    return is_overlong || is_surrogate || is_beyond ? 0 : size;
}

/* C0, DEL, and C1, whose characters are 0xc2 and one byte. */
static bool is_control(const char *text, size_t size) {
    const unsigned char *byte = (const unsigned char *)text;
    return size == 1 ? byte[0] < 0x20 || byte[0] == 0x7f : byte[0] == 0xc2 && byte[1] < 0xa0;
}

void utf8_clean(char *text) {
    size_t left = strlen(text);
    while (left > 0) {
        size_t size = utf8_length(text, left);
        bool is_good = size > 0 && !is_control(text, size);
        size_t taken = size > 0 ? size : 1;
        if (!is_good) {
            memset(text, '?', taken);
        }
        text += taken;
        left -= taken;
    }
}
