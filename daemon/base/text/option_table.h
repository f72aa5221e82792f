/* option_table.h: options of a command line as a table of rows, from which reading, complaints and
 * help come. Our own, and not getopt or argp, because a word may begin with '-' as the protocol's
 * -1 does, and because an option that would be passed over must be refused. */
#ifndef BASE_OPTION_TABLE_H
#define BASE_OPTION_TABLE_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

struct option_row {
    const char *name;     /* "--limit" */
    const char *argument; /* what the help calls its value, "TIME"; NULL: it is a flag */
    const char *what;     /* what it does, for the help: a phrase without a final stop */
    const char *usual;    /* what holds without it, for the help; NULL: nothing to say */
    /* Takes the value into the caller's options; the error's place is filled by the table. */
    bool (*set)(void *options, const char *value, struct error *error);
    size_t flag;       /* of a flag: the offset of its bool in the caller's options */
    uint64_t commands; /* that take it, a bit each; 0: all */
};

struct option_table {
    const struct option_row *row;
    size_t rows; /* 64 at most */
};

/* Reads `argument`, "--name" or "--name=value" ("-h" is "--help"), into `options`, and sets the
 * row's bit in `given`. `next` is the argument after it or NULL; `took_next` says whether it was
 * the value. Returns false and fills `error`; an unknown option is told with the nearest one. */
bool option_table_take(const struct option_table *table, const char *argument, const char *next,
                       bool *took_next, void *options, uint64_t *given, struct error *error);

/* Returns whether `argument` is an option, not a word: "--..." or "-h". */
bool option_table_is_option(const char *argument);

/* Writes the names of the commands that a row is for, "raise, lower"; "" if it is for all. `names`
 * by the commands' bits. */
void option_table_takers(const struct option_row *row, const char *const names[], char *text,
                         size_t size);

/* Prints what is wrong with the command line of `program`, and the way to its help unless the
 * complaint ends with a question that shows one. */
void option_table_complain(const char *program, const struct error *error, FILE *err);

/* Prints a line or more for each row that the `commands` take (0: for every row), wrapped. With
 * `takers` not NULL the name of each command that a row is for stands before its text. */
void option_table_help(const struct option_table *table, uint64_t commands,
                       const char *const takers[], FILE *out);

#endif
