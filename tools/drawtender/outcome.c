/* How a run of the tool ends, as a table. */
#include "tools/drawtender/outcome.h"

const struct outcome_row outcomes[] = {
    {OUTCOME_DONE, "done", "done"},
    {OUTCOME_REFUSED, "refused",
     "refused by the bridge or the server (the reason is printed), or overtaken by someone else's "
     "request"},
    {OUTCOME_TIMED_OUT, "timed-out", "the limit expired"},
    {OUTCOME_UNREACHABLE, "unreachable",
     "no daemon there, no answer within 5 s, connection lost, or a different protocol"},
    {OUTCOME_FAULT, "fault", "a fault is latched on the bridge (except after emergency-stop)"},
    {OUTCOME_USAGE, "usage", "the command line is wrong"},
    {OUTCOME_UNREAD, "unread", ""},
    {OUTCOME_UNWRITTEN, "unwritten", "a plot, a file or a report could not be written completely"},
    {OUTCOME_CONFIGURATION, "configuration", ""},
    {OUTCOME_INTERRUPTED, "interrupted", "interrupted; the span was asked to stop"},
};

const unsigned outcomes_count = sizeof outcomes / sizeof outcomes[0];

const char *outcome_name(enum outcome outcome) {
    for (unsigned i = 0; i < outcomes_count; i++) {
        if (outcomes[i].outcome == outcome) {
            return outcomes[i].name;
        }
    }
    return "unknown";
}
