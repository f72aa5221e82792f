/* help.h: what --help says. */
#ifndef TOOLS_DRAWTENDER_HELP_H
#define TOOLS_DRAWTENDER_HELP_H

#include <stdio.h>

void help_print(FILE *out);

#endif
