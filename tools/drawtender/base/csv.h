/* csv.h: comma-separated values, record by record (RFC 4180; line ends LF or CR LF).
 * Pure; one record is bounded. A field in quotes may hold commas and doubled quotes, no line ends;
 * a byte order mark at the beginning is passed over. */
#ifndef TOOLS_DRAWTENDER_CSV_H
#define TOOLS_DRAWTENDER_CSV_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

enum { CSV_FIELDS_MAX = 16, CSV_LINE_MAX = 1000 };

struct csv {
    const char *next; /* of the text, the caller's; NUL at the end */
    unsigned line;    /* of the last record, from 1; 0 at first */
    size_t fields;
    const char *field[CSV_FIELDS_MAX]; /* good until the next record; blanks at both ends cut */
    char bytes[CSV_LINE_MAX + CSV_FIELDS_MAX + 1];
};

enum csv_event { CSV_RECORD, CSV_END, CSV_BAD };

/* The next record. Empty lines and those that begin with '#' are passed over. CSV_BAD fills what of
 * `error`; the line is csv->line. */
enum csv_event csv_next(struct csv *csv, struct error *error);

#endif
