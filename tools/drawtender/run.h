/* run.h: one run of the tool, whoever calls it: the program or a test. */
#ifndef TOOLS_DRAWTENDER_RUN_H
#define TOOLS_DRAWTENDER_RUN_H

#include "tools/drawtender/tool.h"

#include <stdio.h>

/* Runs the verb, prints its result, and returns how it ended. */
enum outcome run_verb(const struct tool_options *options, const struct tool_streams *streams);

/* Tells of a verb that there is not, with the nearest; NULL: none was given. */
void run_complain_of_verb(const char *name, FILE *err);

#endif
