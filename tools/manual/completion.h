/* completion.h: completion of the command lines in shells, out of the tables that read them. */
#ifndef TOOLS_MANUAL_COMPLETION_H
#define TOOLS_MANUAL_COMPLETION_H

#include "base/text/option_table.h"

#include <stdbool.h>
#include <stdio.h>

struct command_line {
    const char *program;
    const struct option_table *options;
    bool has_verbs; /* those of drawtender */
};

extern const struct command_line command_drawtender;
extern const struct command_line command_drawtenderd;

/* Each prints a file for its shell. */
void completion_bash(const struct command_line *command, FILE *out);
void completion_zsh(const struct command_line *command, FILE *out);
void completion_fish(const struct command_line *command, FILE *out);

/* What may stand at a place of the command line. */
struct completion_choice {
    char words[256]; /* parted by blanks; may be empty */
    bool is_file, is_folder;
};

/* Returns whether anything is known of what may stand there. */
bool completion_is_known(const struct completion_choice *choice);

/* Returns what may follow an option; of a flag, nothing. */
struct completion_choice completion_of_option(const struct option_row *row);

/* Returns what may be word `index` after a verb, from 0; `repeats` says whether it stands for all
 * later ones as well. */
struct completion_choice completion_of_word(unsigned verb, unsigned index, bool *repeats);

/* Returns how many of a verb's words something is known of. */
unsigned completion_places(unsigned verb);

/* Prints a text within single quotes, each of its own preceded by `before_quote`. */
void completion_quote(FILE *out, const char *text, const char *before_quote);

#endif
