#include "tools/drawtender/client/progress.h"

#include "tools/drawtender/base/text.h"

#include <math.h>
#include <string.h>

/* To the beginning of the line, and clear it (ECMA-48 EL, from memory). */
static const char redraw[] = "\r\033[K";

/* A log or a pipe is not to be silent for a whole movement, nor filled by one. */
static bool has_gone_far(const struct progress *progress) {
    const struct picture_motion *motion = &progress->tool->link.picture.motion;
    double far = strcmp(motion->unit, "mm") == 0 ? 100 : 10;
    return fabs(motion->position - progress->shown) >= far;
}

void progress_show(struct progress *progress, const struct picture_change *change) {
    const struct tool *tool = progress->tool;
    bool is_phase = change->kind == PICTURE_PHASE;
    bool is_motion =
        change->kind == PICTURE_MOTION && (tool->streams.is_terminal || has_gone_far(progress));
    if (tool->options->is_quiet || tool->options->is_json || !(is_phase || is_motion)) {
        return;
    }
    double position = tool->link.picture.motion.position;
    progress->shown = isfinite(position) ? position : progress->shown;
    char line[2 * PICTURE_TEXT_SIZE];
    text_progress(&tool->link.picture, line, sizeof line);
    progress_draw(progress, line);
}

void progress_draw(struct progress *progress, const char *line) {
    const struct tool *tool = progress->tool;
    FILE *err = tool->streams.err;
    if (!tool->streams.is_terminal) {
        fprintf(err, "%s\n", line);
        return;
    }
    /* A line that wraps could not be redrawn. */
    unsigned columns = tool->streams.columns > 1 ? tool->streams.columns - 1 : 1;
    fprintf(err, "%s%.*s", redraw, (int)columns, line);
    fflush(err);
    progress->is_drawn = true;
}

void progress_end(struct progress *progress) {
    if (progress->is_drawn) {
        fprintf(progress->tool->streams.err, "%s", redraw);
        fflush(progress->tool->streams.err);
        progress->is_drawn = false;
    }
}
