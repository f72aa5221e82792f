/* The verb state: the bridge at a glance. */
#include "tools/drawtender/base/text.h"
#include "tools/drawtender/verbs/verbs.h"

enum outcome verb_state(struct tool *tool) {
    enum outcome outcome = bridge_link_open(&tool->link, tool->options, &tool->error);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    const struct picture *picture = &tool->link.picture;
    if (picture_is_faulted(picture)) {
        outcome = OUTCOME_FAULT;
        error_set(&tool->error, "", "a fault is latched");
    }
    if (!tool->options->is_json && !tool->options->is_quiet) {
        fprintf(tool->streams.out, "bridge on bus %u of %s port %u\n", picture->bus,
                tool->options->host, (unsigned)tool->options->port);
        text_state(tool->streams.out, picture);
    }
    return outcome;
}
