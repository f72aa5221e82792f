/* bytes.h: bytes on their way, first in, first out. Holds no memory while it is empty: most of a
 * thousand idle sessions' memory would be empty buffers otherwise. */
#ifndef SOCKETS_BYTES_H
#define SOCKETS_BYTES_H

#include <stdbool.h>
#include <stddef.h>

/* All zero is empty. */
struct bytes {
    char *memory;
    size_t first, length, size;
};

/* false: no memory; nothing was added. */
bool bytes_add(struct bytes *bytes, const char *more, size_t length);

/* The whole of it lies in one piece. */
const char *bytes_begin(const struct bytes *bytes);

/* At most as many as there are; the memory goes with the last. */
void bytes_drop(struct bytes *bytes, size_t length);

#endif
