/* rehearsal.h: a session script tried on a server, line by line, with nothing done: --dry-run. */
#ifndef TOOLS_DRAWTENDER_REHEARSAL_H
#define TOOLS_DRAWTENDER_REHEARSAL_H

#include "tools/drawtender/session/script.h"
#include "tools/drawtender/tool.h"

/* Asks the server about every line, prints each that it would never take. What it would refuse only
 * for now is no fault of the script, nor a clock that the script starts itself. Fills tool->result
 * or tool->error. */
enum outcome rehearse(struct tool *tool, const struct script *script);

#endif
