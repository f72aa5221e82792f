/* help.h: what --help and `help VERB` say, out of the tables of verbs, options and outcomes. */
#ifndef TOOLS_DRAWTENDER_HELP_H
#define TOOLS_DRAWTENDER_HELP_H

#include "tools/drawtender/outcome.h"
#include "tools/drawtender/verbs/verb_id.h"

#include <stdio.h>

/* What everybody near a moving bridge must know. */
extern const char help_cautions[];

/* Writes what an exit code means: its usual meaning, then what single verbs add. */
enum { HELP_EXIT_SIZE = 1024 };
void help_describe_exit(const struct outcome_row *row, char text[HELP_EXIT_SIZE]);

/* Prints the help of one verb, or with VERBS that of the whole tool. */
void help_print(enum verb_id id, FILE *out);

/* For tests, which hold tools/README.md to it: prints the same as tables of Markdown. */
void help_print_markdown(FILE *out);

#endif
