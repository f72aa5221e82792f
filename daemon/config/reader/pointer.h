/* pointer.h: a JSON Pointer (RFC 6901) that grows and shrinks while a tree is walked. */
#ifndef CONFIG_POINTER_H
#define CONFIG_POINTER_H

#include <stddef.h>

enum { POINTER_SIZE = 256 };

/* All zero: the whole document. Too long, it is cut. */
struct pointer {
    char text[POINTER_SIZE];
    size_t length;
};

/* Appends one reference token, escaped (section 3). Returns the length before, for pointer_cut().
 */
size_t pointer_push(struct pointer *pointer, const char *token);
size_t pointer_push_index(struct pointer *pointer, unsigned index);
void pointer_cut(struct pointer *pointer, size_t length);

#endif
