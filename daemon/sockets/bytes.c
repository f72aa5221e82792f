#include "sockets/bytes.h"

#include "base/invariant.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { LEAST = 256 };

/* Room for `length` more: what was taken from the front is used again once it is half of all, so
 * that no byte is moved more often than it is worth. */
static bool make_room(struct bytes *bytes, size_t length) {
    if (bytes->first > 0 && bytes->first >= bytes->size / 2) {
        memmove(bytes->memory, bytes->memory + bytes->first, bytes->length);
        bytes->first = 0;
    }
    if (length <= bytes->size - bytes->first - bytes->length) {
        return true;
    }
    if (length > SIZE_MAX / 4 || bytes->size > SIZE_MAX / 4) {
        return false;
    }
    size_t wanted = bytes->first + bytes->length + length;
    size_t size = bytes->size + bytes->size / 2;
    size = size < wanted ? wanted : size;
    size = size < LEAST ? LEAST : size;
    char *memory = realloc(bytes->memory, size);
    if (memory == NULL) {
        return false;
    }
    bytes->memory = memory;
    bytes->size = size;
    return true;
}

bool bytes_add(struct bytes *bytes, const char *more, size_t length) {
    if (length == 0) {
        return true;
    }
    if (!make_room(bytes, length)) {
        return false;
    }
    memcpy(bytes->memory + bytes->first + bytes->length, more, length);
    bytes->length += length;
    return true;
}

const char *bytes_begin(const struct bytes *bytes) {
    return bytes->length == 0 ? NULL : bytes->memory + bytes->first;
}

void bytes_drop(struct bytes *bytes, size_t length) {
    INVARIANT(length <= bytes->length);
    if (length < bytes->length) {
        bytes->first += length;
        bytes->length -= length;
        return;
    }
    free(bytes->memory);
    *bytes = (struct bytes){0};
}
