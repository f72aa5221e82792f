/* changes.h: what is different between two configurations as they are written. Order of keys,
 * blanks and ends of lines count for nothing; a value that is written otherwise ("1 m", "100 cm")
 * does. */
#ifndef CONFIG_CHANGES_H
#define CONFIG_CHANGES_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* Prints a line for each difference, with its place as a JSON Pointer. Returns whether both files
 * could be read; `count` is then the number of differences. */
bool changes_print(FILE *out, const char *before, const char *after, size_t *count,
                   struct error *error);

#endif
