/* script_line.h: one line of a session script that does something. Pure. */
#ifndef TOOLS_DRAWTENDER_SCRIPT_LINE_H
#define TOOLS_DRAWTENDER_SCRIPT_LINE_H

#include "protocol/text.h"
#include "tools/drawtender/script.h"

struct script_line {
    char text[SCRIPT_LINE_MAX];
    struct srcp_text label; /* of the line that was parsed */
};

/* Fills kind, bus, time and failure of `step`, and the texts into `parsed`. `line`: printable, not
 * empty, shorter than SCRIPT_LINE_MAX. Returns false and fills `error` (what alone). */
bool script_line_parse(struct srcp_text line, struct script_step *step, struct script_line *parsed,
                       struct error *error);

/* What --dry-run asks in place of a line of the protocol: CHECK for SET, GET of the device for
 * WAIT, a GET as it is; empty for what cannot be tried without doing it, or not within a line. */
void script_line_trial(const char *line, char trial[SCRIPT_LINE_MAX]);

/* Whether the line sets up the model clock: INIT 0 TIME. Its ratio then. */
bool script_line_is_clock(const char *line, int32_t *fx, int32_t *fy);

/* Whether it waits for the model clock, WAIT 0 TIME: for that no limit is known. Of other WAITs
 * the timeout in `seconds`; of other lines 0. */
bool script_line_wait(const char *line, int32_t *seconds);

#endif
