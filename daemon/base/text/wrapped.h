/* wrapped.h: text for a terminal of 80 columns, broken between words. */
#ifndef BASE_WRAPPED_H
#define BASE_WRAPPED_H

#include <stdio.h>

/* Prints `text` in lines of at most 79 columns, each after `indent` blanks. Words longer than a
 * line are not broken. */
void wrapped_text(FILE *out, unsigned indent, const char *text);

/* Prints `left`, then `text` from column `indent` on; on a line of its own where `left` leaves no
 * blank before that column. */
void wrapped_row(FILE *out, const char *left, unsigned indent, const char *text);

#endif
