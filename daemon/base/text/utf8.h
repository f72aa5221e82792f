/* utf8.h: text as UTF-8 (RFC 3629), and what is none. */
#ifndef BASE_UTF8_H
#define BASE_UTF8_H

#include <stddef.h>

/* Bytes of the character at `text`, of which `left` bytes are there, 1 or more; 0: it is none. */
size_t utf8_length(const char *text, size_t left);

/* Puts a '?' in place of every byte that belongs to no character or to a control character: for
 * text that others wrote. */
void utf8_clean(char *text);

#endif
