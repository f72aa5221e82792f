/* lift_drawing.h: the kinds of lift as drawings in characters, so that people find theirs. */
#ifndef TOOLS_DRAWTENDER_LIFT_DRAWING_H
#define TOOLS_DRAWTENDER_LIFT_DRAWING_H

#include <stdio.h>

/* Prints all of them, or the one of this kind. */
void lift_drawing_print(FILE *out, const char *kind_or_null);

#endif
