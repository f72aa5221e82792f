/* utf8.h: text as UTF-8 (RFC 3629), and how invalid text is found. */
#ifndef BASE_UTF8_H
#define BASE_UTF8_H

#include <stddef.h>

/* Returns the length of the character at `text`, or 0 if invalid. `left` (1 or more) bytes may be
 * read. */
size_t utf8_length(const char *text, size_t left);

/* Puts a '?' in place of every byte that belongs to no character or to a control character: for
 * text that others wrote. */
void utf8_clean(char *text);

#endif
