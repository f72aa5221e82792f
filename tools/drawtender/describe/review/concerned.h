/* concerned.h: which answers a value of the configuration was made of, sums included. Pure. */
#ifndef TOOLS_DRAWTENDER_CONCERNED_H
#define TOOLS_DRAWTENDER_CONCERNED_H

#include "tools/drawtender/describe/answers.h"

#include <stdbool.h>

/* Fills in which answers stand behind the value at this place, a JSON Pointer from the whole file
 * on: of all that were given, those of its very place, else of the next object around it. */
void concerned_by(const struct answers *answers, const char *where, bool is_concerned[QUESTIONS]);

#endif
