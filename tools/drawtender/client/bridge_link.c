#include "tools/drawtender/client/bridge_link.h"

#include "protocol/code.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { DEFAULT_SPAN = 1 };

static struct deadline reply_deadline(const struct bridge_link *link) {
    return deadline_in(link->reply_ms);
}

static enum outcome open_talk(struct bridge_link *link, struct talk *talk,
                              const struct tool_options *options, enum srcp_mode mode,
                              struct error *error) {
    bool is_open = talk_open(talk, options->host, options->port, mode, reply_deadline(link), error);
    return is_open ? OUTCOME_DONE : OUTCOME_UNREACHABLE;
}

enum outcome bridge_link_command(struct bridge_link *link, const struct tool_options *options,
                                 struct error *error) {
    memset(link, 0, sizeof *link);
    link->command.socket = link->info.socket = -1;
    link->reply_ms = options->reply_ms;
    picture_start(&link->picture, options->bus);
    return open_talk(link, &link->command, options, SRCP_COMMAND_MODE, error);
}

static enum outcome check_bus(struct bridge_link *link, struct error *error) {
    char line[64];
    snprintf(line, sizeof line, "GET %u DESCRIPTION", link->picture.bus);
    struct srcp_answer reply;
    enum outcome outcome = bridge_link_ask(link, line, &reply, error);
    if (outcome == OUTCOME_REFUSED) {
        error_set(error, "", "the server has no bus %u", link->picture.bus);
    }
    return outcome;
}

enum outcome bridge_link_open(struct bridge_link *link, const struct tool_options *options,
                              struct error *error) {
    enum outcome outcome = bridge_link_command(link, options, error);
    if (outcome == OUTCOME_DONE) {
        outcome = check_bus(link, error);
    }
    if (outcome == OUTCOME_DONE) {
        outcome = open_talk(link, &link->info, options, SRCP_INFO_MODE, error);
    }
    if (outcome == OUTCOME_DONE) {
        outcome = bridge_link_catch_up(link, error);
    }
    if (outcome == OUTCOME_DONE && !link->picture.has_phase) {
        error_set(error, "", "there is no drawbridge on bus %u", link->picture.bus);
        return OUTCOME_REFUSED;
    }
    return outcome;
}

void bridge_link_close(struct bridge_link *link) {
    talk_close(&link->command);
    talk_close(&link->info);
}

/* Reads the INFO session up to the mark or, without one, up to the first phase, which ends the
 * bridge's part of the dump. */
static enum outcome read_up_to(struct bridge_link *link, int32_t mark, struct error *error) {
    struct deadline deadline = reply_deadline(link);
    for (;;) {
        struct srcp_answer answer;
        enum talk_event event = talk_receive(&link->info, deadline, &answer);
        if (event == TALK_GARBLED) {
            continue;
        }
        if (event != TALK_ANSWER) {
            error_set(error, "", "%s", talk_event_text(event));
            return OUTCOME_UNREACHABLE;
        }
        struct picture_change change = picture_fold(&link->picture, &answer);
        bool is_mark = change.kind == PICTURE_MARK && link->picture.mark == mark;
        if (mark == 0 ? change.kind == PICTURE_PHASE : is_mark) {
            return OUTCOME_DONE;
        }
    }
}

enum outcome bridge_link_catch_up(struct bridge_link *link, struct error *error) {
    char line[96];
    int32_t mark = ++link->marks;
    snprintf(line, sizeof line, "SET 0 GM %" PRId32 " %" PRId32 " MARK %" PRId32,
             link->info.session, link->command.session, mark);
    struct srcp_answer reply;
    enum talk_event event = talk_ask(&link->command, line, reply_deadline(link), &reply);
    if (event != TALK_ANSWER) {
        error_set(error, "", "%s", talk_event_text(event));
        return OUTCOME_UNREACHABLE;
    }
    link->has_marks = reply.kind == SRCP_ANSWER_OK;
    if (link->has_marks) {
        return read_up_to(link, mark, error);
    }
    return link->picture.has_phase ? OUTCOME_DONE : read_up_to(link, 0, error);
}

/* 413: the reason was told to the INFO sessions. */
static enum outcome explain_refusal(struct bridge_link *link, struct error *error) {
    const struct picture_refusal *refusal = &link->picture.refusal;
    struct error ignored;
    if (link->info.socket < 0 || bridge_link_catch_up(link, &ignored) != OUTCOME_DONE ||
        refusal->session != link->command.session) {
        return OUTCOME_REFUSED;
    }
    error_set(error, "", "%s", refusal->reason);
    return picture_is_faulted(&link->picture) ? OUTCOME_FAULT : OUTCOME_REFUSED;
}

enum outcome bridge_link_ask(struct bridge_link *link, const char *line, struct srcp_answer *reply,
                             struct error *error) {
    link->picture.refusal.session = 0;
    enum talk_event event = talk_ask(&link->command, line, reply_deadline(link), reply);
    if (event != TALK_ANSWER) {
        error_set(error, "", "%s", talk_event_text(event));
        return OUTCOME_UNREACHABLE;
    }
    if (reply->kind != SRCP_ANSWER_ERROR) {
        return OUTCOME_DONE;
    }
    size_t length = reply->words.length < 80 ? reply->words.length : 80;
    error_set(error, "", "%d %.*s", (int)reply->code, (int)length,
              length > 0 ? reply->words.at : "");
    return reply->code == SRCP_PROHIBITED ? explain_refusal(link, error) : OUTCOME_REFUSED;
}

enum outcome bridge_link_set(struct bridge_link *link, int32_t address, unsigned port,
                             struct error *error) {
    char line[96];
    snprintf(line, sizeof line, "SET %u GA %" PRId32 " %u 1 -1", link->picture.bus, address, port);
    struct srcp_answer reply;
    enum outcome outcome = bridge_link_ask(link, line, &reply, error);
    if (outcome == OUTCOME_DONE && reply.kind != SRCP_ANSWER_OK) {
        error_set(error, "", "the server answered '%s' with an invalid reply", line);
        return OUTCOME_UNREACHABLE;
    }
    return outcome;
}

enum talk_event bridge_link_next(struct bridge_link *link, struct picture_change *change,
                                 uint64_t *time_us) {
    for (;;) {
        struct srcp_answer answer;
        enum talk_event event = talk_receive(&link->info, link->deadline, &answer);
        if (event == TALK_GARBLED) {
            continue;
        }
        if (event != TALK_ANSWER) {
            return event;
        }
        *change = picture_fold(&link->picture, &answer);
        *time_us = answer.time_us;
        if (change->kind != PICTURE_NOTHING && change->kind != PICTURE_MARK) {
            return TALK_ANSWER;
        }
    }
}

int32_t bridge_link_span(const struct bridge_link *link) {
    const struct picture_device *span = picture_labelled(&link->picture, SRCP_GA, "span");
    return span != NULL ? span->address : DEFAULT_SPAN;
}
