/* table.h: rows of values that are printed as text, CSV or JSON. */
#ifndef TOOLS_DRAWTENDER_TABLE_H
#define TOOLS_DRAWTENDER_TABLE_H

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

enum { TABLE_COLUMNS_MAX = 16, TABLE_CELL_SIZE = 168 };

struct table_cell {
    bool is_number; /* JSON: no quotes */
    char text[TABLE_CELL_SIZE];
};

/* Cells row by row; whatever is added goes to the next one. */
struct table {
    size_t columns;
    const char *column[TABLE_COLUMNS_MAX]; /* lower-case words; with its unit: "open, s" */
    struct table_cell *cell;
    size_t cells, room;
    bool has_failed; /* memory is out: rows are missing */
};

/* The names end with NULL. */
void table_begin(struct table *table, const char *const columns[]);
void table_free(struct table *table);

void table_text(struct table *table, const char *text);
void table_whole(struct table *table, int64_t number);
void table_number(struct table *table, double number, int decimals); /* not a number: nothing */
/* Microseconds since the Unix epoch as local time of day; 0: nothing. */
void table_time(struct table *table, uint64_t at_us);

void table_print(const struct table *table, FILE *out);
/* RFC 4180: a line of names, then the rows, CRLF after each. */
void table_print_csv(const struct table *table, FILE *out);
/* An array of objects; what there is no value for is null. Whoever gets it frees it. */
cJSON *table_json(const struct table *table);

#endif
