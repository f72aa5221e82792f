/* text_diff.h: what lines differ between two texts, for people. */
#ifndef TOOLS_DRAWTENDER_TEXT_DIFF_H
#define TOOLS_DRAWTENDER_TEXT_DIFF_H

#include <stddef.h>
#include <stdio.h>

/* Prints each line that is gone ("- 12: ...") and each that is new ("+ 12: ..."), numbered in their
 * own text, in order. Returns how many. Lines are matched to the nearest like one within
 * TEXT_DIFF_AHEAD: enough for single values that were changed or put in. */
enum { TEXT_DIFF_AHEAD = 64 };
size_t text_diff_print(FILE *out, const char *before, const char *after);

#endif
