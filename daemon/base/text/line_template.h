/* line_template.h: lines of text to a motor controller, with places that are filled in:
 *
 *   {effort}     -{full}..{full}, negative lowers        {size}   the same without its sign
 *   {direction}  the configured word for raise or lower
 *   {xor} {sum}  two hexadecimal digits over all bytes before: exclusive or; sum, modulo 256
 *   {0xAA}       one byte
 *
 * Pure. */
#ifndef IO_LINE_TEMPLATE_H
#define IO_LINE_TEMPLATE_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

enum { LINE_TEMPLATE_MOST = 128 }; /* bytes that a line may become */

struct line_values {
    long effort;
    const char *direction;
};

/* Fills `line`, not ended by a 0; returns its length, or 0 and an error: an unknown place, a line
 * that is empty or too long. */
size_t line_template_fill(const char *text, const struct line_values *values,
                          char line[LINE_TEMPLATE_MOST], struct error *error);

#endif
