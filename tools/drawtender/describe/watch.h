/* watch.h: an opening of the described bridge, simulated, to be watched. */
#ifndef TOOLS_DRAWTENDER_WATCH_H
#define TOOLS_DRAWTENDER_WATCH_H

#include "tools/drawtender/describe/answers.h"
#include "tools/drawtender/tool.h"

/* Runs a daemon on the answers, without their terminals, raises and lowers the simulated span, and
 * prints each phase. OUTCOME_DONE: it was open, and is lined again. */
enum outcome watch_opening(struct tool *tool, const struct answers *answers);

#endif
