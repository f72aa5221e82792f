/* script_line.h: one line of a session script that does something. Pure. */
#ifndef TOOLS_DRAWTENDER_SCRIPT_LINE_H
#define TOOLS_DRAWTENDER_SCRIPT_LINE_H

#include "base/error.h"
#include "protocol/text.h"
#include "tools/drawtender/session/script_step.h"

struct script_line {
    char text[SCRIPT_LINE_MAX];
    struct srcp_text label; /* of the line that was parsed */
};

/* Fills kind, bus, time and failure of `step`, and the texts into `parsed`. `line`: printable, not
 * empty, shorter than SCRIPT_LINE_MAX. Returns false and fills `error` (what alone). */
bool script_line_parse(struct srcp_text line, struct script_step *step, struct script_line *parsed,
                       struct error *error);

/* What --dry-run asks in place of a line of the protocol: CHECK for SET, GET of the device for
 * WAIT, INIT and TERM, a GET as it is; empty for what cannot be tried without doing it, or not
 * within a line. */
void script_line_trial(const char *line, char trial[SCRIPT_LINE_MAX]);

/* What it does with the model clock. */
enum script_clock {
    SCRIPT_CLOCK_NOTHING = 0,
    SCRIPT_CLOCK_INIT, /* its ratio */
    SCRIPT_CLOCK_SET,
    SCRIPT_CLOCK_END,
    SCRIPT_CLOCK_WAIT /* no limit is known */
};
enum script_clock script_line_clock(const char *line);

/* The timeout of a WAIT for a device in seconds; of other lines 0. */
int32_t script_line_timeout(const char *line);

#endif
