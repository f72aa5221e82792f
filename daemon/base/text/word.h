/* word.h: a name that people chose as one word of the protocol. */
#ifndef BASE_WORD_H
#define BASE_WORD_H

#include <stddef.h>

/* Writes `name` to `word` of `size` bytes, 1 or more, with a NUL; what does not fit is cut. A blank
 * becomes '-', so that words beside it can be told apart; what is not printable ASCII, byte for
 * byte, '?', as in all that the protocol carries. */
void word_of_name(const char *name, char *word, size_t size);

#endif
