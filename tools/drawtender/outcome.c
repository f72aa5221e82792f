#include "tools/drawtender/outcome.h"

const char *outcome_name(enum outcome outcome) {
    switch (outcome) {
    case OUTCOME_DONE:
        return "done";
    case OUTCOME_REFUSED:
        return "refused";
    case OUTCOME_TIMED_OUT:
        return "timed-out";
    case OUTCOME_UNREACHABLE:
        return "unreachable";
    case OUTCOME_FAULT:
        return "fault";
    case OUTCOME_USAGE:
        return "usage";
    case OUTCOME_UNREAD:
        return "unread";
    case OUTCOME_UNWRITTEN:
        return "unwritten";
    case OUTCOME_CONFIGURATION:
        return "configuration";
    case OUTCOME_INTERRUPTED:
        return "interrupted";
    }
    return "unknown";
}
