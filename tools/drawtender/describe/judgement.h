/* judgement.h: what the answers come to: what is wrong, what is good and bad, what was guessed. */
#ifndef TOOLS_DRAWTENDER_JUDGEMENT_H
#define TOOLS_DRAWTENDER_JUDGEMENT_H

#include "tools/drawtender/describe/interview.h"

#include <stdbool.h>

/* Reads the answers as a configuration and prints the report. Returns whether it is usable; then
 * interview->config holds it. `is_brief`: only what is wrong. */
bool judgement_print(struct interview *interview, bool is_brief);

#endif
