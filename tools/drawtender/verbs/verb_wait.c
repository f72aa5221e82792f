/* The verb wait: until the bridge is as named. */
#include "tools/drawtender/client/target.h"
#include "tools/drawtender/verbs/verbs.h"

static enum outcome await(struct tool *tool, const struct target *target) {
    struct bridge_link *link = &tool->link;
    const struct picture *picture = &link->picture;
    while (!target_is_reached(target, picture)) {
        if (target_is_barred(target, picture)) {
            error_set(&tool->error, "", "a fault is latched: %s", picture->fault);
            return OUTCOME_FAULT;
        }
        struct picture_change change;
        uint64_t time_us;
        enum talk_event event = bridge_link_next(link, &change, &time_us);
        if (event == TALK_TIMED_OUT) {
            error_set(&tool->error, "", "the limit expired; the bridge is %s", picture->phase);
            return OUTCOME_TIMED_OUT;
        }
        if (event != TALK_ANSWER) {
            error_set(&tool->error, "", "%s", talk_event_text(event));
            return OUTCOME_UNREACHABLE;
        }
    }
    return OUTCOME_DONE;
}

enum outcome verb_wait(struct tool *tool) {
    const struct tool_options *options = tool->options;
    struct target target;
    if (!target_parse(options->words, options->word, &target, &tool->error)) {
        return OUTCOME_USAGE;
    }
    enum outcome outcome = bridge_link_open(&tool->link, options, &tool->error);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    if (!target_exists(&target, &tool->link.picture)) {
        error_set(&tool->error, "", "the bridge has no such device or port");
        return OUTCOME_REFUSED;
    }
    tool->link.deadline = options_deadline(options, true);
    return await(tool, &target);
}
