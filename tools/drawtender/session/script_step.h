/* script_step.h: what one line of a session script does. */
#ifndef TOOLS_DRAWTENDER_SCRIPT_STEP_H
#define TOOLS_DRAWTENDER_SCRIPT_STEP_H

#include <stdbool.h>
#include <stdint.h>

enum {
    SCRIPT_LINE_MAX = 1000, /* characters, the line's end included: as on the wire */
    SCRIPT_WITHIN_MAX_S = 86400,
};

enum script_kind { SCRIPT_LINE = 0, SCRIPT_EXPECT, SCRIPT_PAUSE, SCRIPT_SAY, SCRIPT_ON_FAILURE };

enum script_failure { SCRIPT_STOP = 0, SCRIPT_LOWER, SCRIPT_GO_ON };

struct script_step {
    enum script_kind kind;
    const char *file;            /* owned by the script, as the texts are */
    unsigned number;             /* of the line, from 1 */
    const char *text;            /* LINE: as sent. EXPECT: the WAIT that is sent. SAY: the words */
    const char *label;           /* EXPECT */
    bool is_again;               /* the same as an earlier one, by a repeat */
    unsigned bus;                /* LINE, EXPECT: the bus it speaks of */
    uint32_t time_ms;            /* PAUSE: model time. EXPECT: the limit, rounded up to seconds */
    enum script_failure failure; /* ON_FAILURE */
};

#endif
