#include "tools/drawtender/session/rehearsal.h"

#include "protocol/code.h"
#include "tools/drawtender/session/script_line.h"

#include <string.h>

/* What holds only for now is no fault of the script. */
static bool is_fault(const struct srcp_answer *reply) {
    return reply->kind == SRCP_ANSWER_ERROR && reply->code != SRCP_PROHIBITED &&
           reply->code != SRCP_LOCKED && reply->code != SRCP_NO_DATA;
}

/* One under way. */
struct rehearsal {
    bool has_clock; /* the script has started it by then */
    size_t lines, faults;
};

/* A clock that the script starts itself need not run yet. */
static bool is_clock_started(struct rehearsal *rehearsal, const char *line) {
    enum script_clock clock = script_line_clock(line);
    if (clock == SCRIPT_CLOCK_INIT || clock == SCRIPT_CLOCK_SET || clock == SCRIPT_CLOCK_END) {
        rehearsal->has_clock = clock != SCRIPT_CLOCK_END;
    }
    return clock == SCRIPT_CLOCK_WAIT && rehearsal->has_clock;
}

static enum outcome try_step(struct tool *tool, const struct script_step *step,
                             struct rehearsal *rehearsal) {
    char line[SCRIPT_LINE_MAX];
    script_line_trial(step->text, line);
    rehearsal->lines++;
    if (is_clock_started(rehearsal, step->text) || line[0] == '\0') {
        return OUTCOME_DONE;
    }
    struct srcp_answer reply;
    struct deadline deadline = deadline_in(tool->options->reply_ms);
    enum talk_event event = talk_ask(&tool->link.command, line, deadline, &reply);
    if (event != TALK_ANSWER) {
        error_set(&tool->error, "", "%.100s:%u: %s", step->file, step->number,
                  talk_event_text(event));
        return OUTCOME_UNREACHABLE;
    }
    bool has_no_clock =
        script_line_clock(step->text) == SCRIPT_CLOCK_WAIT && reply.kind == SRCP_ANSWER_ERROR;
    if (has_no_clock || is_fault(&reply)) {
        rehearsal->faults++;
        fprintf(tool->streams.err, "%s:%u: '%s': %d ERROR %.*s%s\n", step->file, step->number,
                step->text, (int)reply.code, (int)reply.words.length,
                reply.words.length > 0 ? reply.words.at : "",
                has_no_clock ? "; no model clock is running: INIT 0 TIME" : "");
    }
    return OUTCOME_DONE;
}

enum outcome rehearse(struct tool *tool, const struct script *script) {
    enum outcome outcome = bridge_link_command(&tool->link, tool->options, &tool->error);
    struct rehearsal rehearsal = {.has_clock = tool->options->scale > 0};
    for (size_t i = 0; i < script->steps && outcome == OUTCOME_DONE; i++) {
        const struct script_step *step = &script->step[i];
        bool is_sent = step->kind == SCRIPT_LINE || step->kind == SCRIPT_EXPECT;
        if (is_sent && !step->is_again) {
            outcome = try_step(tool, step, &rehearsal);
        }
    }
    if (outcome == OUTCOME_DONE && rehearsal.faults > 0) {
        error_set(&tool->error, "", "%zu of %zu lines would fail", rehearsal.faults,
                  rehearsal.lines);
        return OUTCOME_REFUSED;
    }
    snprintf(tool->result, sizeof tool->result, "%zu lines checked; nothing was sent to the bridge",
             rehearsal.lines);
    return outcome;
}
