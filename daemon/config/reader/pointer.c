#include "config/reader/pointer.h"

#include <stdio.h>

static void append(struct pointer *pointer, char c) {
    if (pointer->length + 1 < POINTER_SIZE) {
        pointer->text[pointer->length++] = c;
        pointer->text[pointer->length] = '\0';
    }
}

size_t pointer_push(struct pointer *pointer, const char *token) {
    size_t length = pointer->length;
    append(pointer, '/');
    for (; *token != '\0'; token++) {
        if (*token == '~' || *token == '/') {
            append(pointer, '~');
            append(pointer, *token == '~' ? '0' : '1');
        } else {
            append(pointer, *token);
        }
    }
    return length;
}

size_t pointer_push_index(struct pointer *pointer, unsigned index) {
    char token[16];
    snprintf(token, sizeof token, "%u", index);
    return pointer_push(pointer, token);
}

void pointer_cut(struct pointer *pointer, size_t length) {
    pointer->length = length;
    pointer->text[length] = '\0';
}
