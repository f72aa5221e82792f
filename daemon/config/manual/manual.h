/* manual.h: the tables of config/README.md, made from the tables that the reader reads by; and
 * their parts, for other manuals. */
#ifndef CONFIG_MANUAL_H
#define CONFIG_MANUAL_H

#include "config/reader/fields.h"

#include <stdbool.h>
#include <stdio.h>

/* For tests, which hold config/README.md to it: Markdown, one section for each object, ending with
 * a newline; for the caller to free(), or NULL where there is no memory. */
char *manual_text(void);

/* Prints "an angle: deg, rad". */
void manual_print_units(FILE *out, enum quantity quantity);

/* Prints what the field's value looks like: "a length, 1 cm to 100 m". With links, the names of
 * objects are links of Markdown. */
void manual_print_form(FILE *out, const struct field *field, bool has_links);

/* Returns what holds where the field is not given: "required", a value, words, or "none". */
const char *manual_default(const struct field *field);

#endif
