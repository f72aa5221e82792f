/* progress.h: a movement on its way: one redrawn line on a terminal, plain lines elsewhere. */
#ifndef TOOLS_DRAWTENDER_PROGRESS_H
#define TOOLS_DRAWTENDER_PROGRESS_H

#include "tools/drawtender/tool.h"

#include <stdbool.h>

struct progress {
    const struct tool *tool;
    bool is_drawn; /* a line stands on the terminal that has no end yet */
    double shown;  /* where the span was when a line last said it */
};

/* Shows nothing for --quiet and --json. Elsewhere than on a terminal, a line for each phase and
 * each thing waited for, and for every 10 degrees or 100 mm that the span has moved. */
void progress_show(struct progress *progress, const struct picture_change *change);

/* Shows this line instead. */
void progress_draw(struct progress *progress, const char *line);

/* Leaves the terminal at the beginning of an empty line. */
void progress_end(struct progress *progress);

#endif
