#include "tools/drawtender/session/performance.h"

#include "protocol/code.h"
#include "tools/drawtender/session/dead_man.h"
#include "tools/drawtender/session/script_line.h"

#include <errno.h>
#include <inttypes.h>
#include <poll.h>
#include <string.h>

/* Ports of the span: what setting one to 1 asks for. */
enum { PORT_LOWER = 0, PORT_STOP = 2 };

enum { NEWS_MS = 1000, SHOWN = 100 };

static bool add_bus(struct performance *performance, unsigned bus) {
    for (size_t i = 0; i < performance->buses; i++) {
        if (performance->bus[i] == bus) {
            return true;
        }
    }
    if (performance->buses == PERFORMANCE_BUSES_MAX) {
        return error_set(&performance->tool->error, "", "more than %d bridges",
                         PERFORMANCE_BUSES_MAX);
    }
    performance->bus[performance->buses++] = bus;
    return true;
}

static bool find_buses(struct performance *performance) {
    for (size_t i = 0; i < performance->script->steps; i++) {
        const struct script_step *step = &performance->script->step[i];
        if (step->bus > 0 && !add_bus(performance, step->bus)) {
            return false;
        }
    }
    return true;
}

static enum outcome find_span(struct performance *performance, size_t index) {
    struct tool_options options = *performance->tool->options;
    options.bus = performance->bus[index];
    struct bridge_link link;
    enum outcome outcome = bridge_link_open(&link, &options, &performance->tool->error);
    if (outcome == OUTCOME_DONE) {
        performance->span[index] = bridge_link_span(&link);
    }
    bridge_link_close(&link);
    return outcome;
}

enum outcome performance_begin(struct performance *performance, struct tool *tool,
                               const struct script *script) {
    *performance = (struct performance){.tool = tool,
                                        .script = script,
                                        .progress = {.tool = tool},
                                        .interrupt = -1,
                                        .on_failure = SCRIPT_STOP};
    if (!find_buses(performance)) {
        return OUTCOME_CONFIGURATION;
    }
    enum outcome outcome = OUTCOME_DONE;
    for (size_t i = 0; i < performance->buses && outcome == OUTCOME_DONE; i++) {
        outcome = find_span(performance, i);
    }
    /* What it shows is the bridge asked for, or the script's first. */
    struct tool_options options = *tool->options;
    if (!options.has_bus_option && performance->buses > 0) {
        options.bus = performance->bus[0];
    }
    return outcome == OUTCOME_DONE ? bridge_link_open(&tool->link, &options, &tool->error)
                                   : outcome;
}

/* What the bridge tells meanwhile: read at once, so that the server need not keep it. */
static enum talk_event take_news(struct performance *performance) {
    struct bridge_link *link = &performance->tool->link;
    do {
        struct srcp_answer answer;
        enum talk_event event = talk_receive(&link->info, deadline_in(NEWS_MS), &answer);
        if (event == TALK_LOST) {
            return event;
        }
        if (event == TALK_ANSWER) {
            struct picture_change change = picture_fold(&link->picture, &answer);
            progress_show(&performance->progress, &change);
        }
    } while (link->info.unread.length > 0);
    return TALK_ANSWER;
}

/* Until the server replies (or until the deadline, with no reply wanted), or an interrupt. */
static enum talk_event listen_for(struct performance *performance, bool wants_reply,
                                  struct deadline deadline) {
    struct bridge_link *link = &performance->tool->link;
    struct pollfd polled[] = {{.fd = performance->interrupt, .events = POLLIN},
                              {.fd = wants_reply ? link->command.socket : -1, .events = POLLIN},
                              {.fd = link->info.socket, .events = POLLIN}};
    for (;;) {
        int ready = poll(polled, 3, deadline_poll_ms(deadline));
        if (ready < 0 && errno != EINTR) {
            return TALK_LOST;
        }
        if (ready > 0 && polled[0].revents != 0) {
            return TALK_INTERRUPTED;
        }
        if (ready > 0 && polled[1].revents != 0) {
            return TALK_ANSWER;
        }
        if (ready > 0 && polled[2].revents != 0 && take_news(performance) == TALK_LOST) {
            return TALK_LOST;
        }
        if (deadline_is_past(deadline)) {
            return TALK_TIMED_OUT;
        }
    }
}

/* A timeout of the protocol is the server's to tell; ours comes only if it does not. */
static struct deadline deadline_of(const struct performance *performance, const char *line) {
    const struct tool_options *options = performance->tool->options;
    if (script_line_clock(line) == SCRIPT_CLOCK_WAIT) {
        return options_deadline(options, false);
    }
    uint64_t ms = (uint64_t)script_line_timeout(line) * 1000 + options->reply_ms;
    return deadline_in(ms < UINT32_MAX ? (uint32_t)ms : UINT32_MAX);
}

static enum talk_event ask(struct performance *performance, const char *line,
                           struct srcp_answer *reply) {
    struct talk *command = &performance->tool->link.command;
    struct deadline deadline = deadline_of(performance, line);
    performance->tool->link.picture.refusal.session = 0;
    enum talk_event event = talk_send(command, line, deadline);
    if (event == TALK_ANSWER) {
        event = listen_for(performance, true, deadline);
    }
    return event == TALK_ANSWER ? talk_receive(command, deadline, reply) : event;
}

/* A pause has no text of the protocol. */
static const char *text_of(const struct script_step *step) {
    return step->kind == SCRIPT_PAUSE ? "pause" : step->text;
}

/* Fills the error: file and line, what was sent, what came. */
static enum outcome complain(struct performance *performance, const struct script_step *step,
                             const char *came) {
    struct error *error = &performance->tool->error;
    if (step->kind == SCRIPT_EXPECT) {
        error_set(error, "", "%.70s:%u: expected: %.60s; '%.50s': %.70s", step->file, step->number,
                  step->label, step->text, came);
    } else {
        error_set(error, "", "%.70s:%u: '%.80s': %.90s", step->file, step->number, text_of(step),
                  came);
    }
    return OUTCOME_REFUSED;
}

static enum outcome judge(struct performance *performance, const struct script_step *step,
                          enum talk_event event, const struct srcp_answer *reply) {
    if (event != TALK_ANSWER) {
        complain(performance, step, talk_event_text(event));
        return event == TALK_INTERRUPTED ? OUTCOME_INTERRUPTED
               : event == TALK_TIMED_OUT ? OUTCOME_TIMED_OUT
                                         : OUTCOME_UNREACHABLE;
    }
    if (reply->kind != SRCP_ANSWER_ERROR) {
        return OUTCOME_DONE;
    }
    char came[2 * SHOWN];
    bool is_timeout = reply->code == SRCP_TIMEOUT;
    bool is_prohibited = reply->code == SRCP_PROHIBITED;
    size_t length = reply->words.length < SHOWN ? reply->words.length : SHOWN;
    snprintf(came, sizeof came, "%d ERROR %.*s", (int)reply->code, (int)length,
             length > 0 ? reply->words.at : "");
    struct bridge_link *link = &performance->tool->link;
    bool is_told = bridge_link_catch_up(link, NULL) == OUTCOME_DONE;
    if (is_told && is_prohibited && link->picture.refusal.session == link->command.session) {
        snprintf(came, sizeof came, "%d: %.120s", SRCP_PROHIBITED, link->picture.refusal.reason);
    }
    bool is_faulted = is_told && picture_is_faulted(&link->picture);
    if (is_faulted) {
        size_t end = strlen(came);
        snprintf(came + end, sizeof came - end, "; fault %s", link->picture.fault);
    }
    if (is_told && is_timeout && picture_is_phase(&link->picture, "held")) {
        size_t end = strlen(came);
        snprintf(came + end, sizeof came - end, "; the bridge is held: raise or lower it");
    }
    complain(performance, step, came);
    return is_faulted ? OUTCOME_FAULT : is_timeout ? OUTCOME_TIMED_OUT : OUTCOME_REFUSED;
}

/* With --scale, the script's own ratio gives way. */
static enum outcome send_step(struct performance *performance, const struct script_step *step) {
    const char *line = step->text;
    char scaled[32];
    unsigned scale = performance->tool->options->scale;
    if (scale > 0 && script_line_clock(line) == SCRIPT_CLOCK_INIT) {
        snprintf(scaled, sizeof scaled, "INIT 0 TIME %u 1", scale);
        line = scaled;
    }
    struct srcp_answer reply;
    enum talk_event event = ask(performance, line, &reply);
    return judge(performance, step, event, &reply);
}

/* The words of `100 INFO 0 TIME <day> <hour> <minute> <second>`, in seconds. */
static bool read_clock(const struct srcp_answer *reply, int64_t *seconds) {
    static const int32_t lengths[] = {24, 60, 60};
    struct srcp_text rest = reply->rest;
    int32_t number;
    bool is_good = reply->has_group && reply->group == SRCP_TIME &&
                   srcp_text_number(srcp_text_word(&rest), &number) && number >= 0;
    *seconds = is_good ? number : 0;
    for (size_t i = 0; i < sizeof lengths / sizeof lengths[0] && is_good; i++) {
        is_good =
            srcp_text_number(srcp_text_word(&rest), &number) && number >= 0 && number < lengths[i];
        *seconds = *seconds * lengths[i] + (is_good ? number : 0);
    }
    return is_good;
}

/* Where no model clock runs, model time is real time. */
static enum outcome pause_really(struct performance *performance, const struct script_step *step) {
    enum talk_event event = listen_for(performance, false, deadline_in(step->time_ms));
    return event == TALK_TIMED_OUT ? OUTCOME_DONE : judge(performance, step, event, NULL);
}

/* Up to the first whole second of the model clock that is not too early. */
static enum outcome pause_for(struct performance *performance, const struct script_step *step) {
    struct srcp_answer reply;
    int64_t time_s;
    enum talk_event event = ask(performance, "GET 0 TIME", &reply);
    if (event != TALK_ANSWER) {
        return judge(performance, step, event, &reply);
    }
    if (reply.kind != SRCP_ANSWER_INFO || !read_clock(&reply, &time_s)) {
        return pause_really(performance, step);
    }
    time_s += (step->time_ms + 999) / 1000 + 1;
    char line[80];
    snprintf(line, sizeof line, "WAIT 0 TIME %" PRId64 " %d %d %d", time_s / 86400,
             (int)(time_s / 3600 % 24), (int)(time_s / 60 % 60), (int)(time_s % 60));
    event = ask(performance, line, &reply);
    return judge(performance, step, event, &reply);
}

static void show_step(struct performance *performance, size_t index) {
    const struct script_step *step = &performance->script->step[index];
    const struct tool *tool = performance->tool;
    if (tool->options->is_quiet || tool->options->is_json || step->kind == SCRIPT_ON_FAILURE) {
        return;
    }
    progress_end(&performance->progress);
    if (step->kind == SCRIPT_SAY) {
        fprintf(tool->streams.out, "%s\n", step->text);
        fflush(tool->streams.out);
        return;
    }
    fprintf(tool->streams.err, "[%zu/%zu] %s:%u %s%s%s\n", index + 1, performance->script->steps,
            step->file, step->number, text_of(step), step->label[0] != '\0' ? ": " : "",
            step->label);
    fflush(tool->streams.err);
}

static enum outcome perform(struct performance *performance, const struct script_step *step) {
    switch (step->kind) {
    case SCRIPT_LINE:
    case SCRIPT_EXPECT:
        return send_step(performance, step);
    case SCRIPT_PAUSE:
        return pause_for(performance, step);
    case SCRIPT_SAY:
        break;
    case SCRIPT_ON_FAILURE:
        performance->on_failure = step->failure;
        break;
    }
    return OUTCOME_DONE;
}

/* Every span of the script; false if one could not be asked. */
static bool ask_spans(const struct performance *performance, unsigned port) {
    const struct tool_options *options = performance->tool->options;
    struct talk talk;
    struct deadline deadline = deadline_in(options->reply_ms);
    if (!talk_open(&talk, options->host, options->port, SRCP_COMMAND_MODE, deadline, NULL)) {
        return false;
    }
    bool is_asked = true;
    for (size_t i = 0; i < performance->buses; i++) {
        char line[64];
        struct srcp_answer reply;
        snprintf(line, sizeof line, "SET %u GA %" PRId32 " %u 1 -1", performance->bus[i],
                 performance->span[i], port);
        enum talk_event event = talk_ask(&talk, line, deadline, &reply);
        is_asked = event == TALK_ANSWER && reply.kind == SRCP_ANSWER_OK && is_asked;
    }
    talk_close(&talk);
    return is_asked;
}

static const char stopped[] = "asked the span to stop where it is";
static const char not_stopped[] =
    "the span could NOT be stopped: it may be moving. Use the hard-wired emergency stop";

/* The script's own session ends first, and with it any lock that it holds. */
static void make_safe(struct performance *performance, enum outcome outcome) {
    struct error why = performance->tool->error;
    bridge_link_close(&performance->tool->link);
    bool is_lower = performance->on_failure == SCRIPT_LOWER && outcome != OUTCOME_INTERRUPTED;
    bool is_asked = ask_spans(performance, is_lower ? PORT_LOWER : PORT_STOP);
    const char *then = is_asked ? stopped : not_stopped;
    if (is_lower) {
        then = is_asked ? "asked the span to lower" : "the span could NOT be lowered";
    }
    size_t room = sizeof why.what - strlen(then) - 3;
    error_set(&performance->tool->error, why.where, "%.*s; %s", (int)room, why.what, then);
}

/* In the other process. */
static void stop_spans_left_alone(void *context) {
    const struct performance *performance = context;
    bool is_asked = ask_spans(performance, PORT_STOP);
    fprintf(performance->tool->streams.err, "\ndrawtender: perform: interrupted; %s\n",
            is_asked ? stopped : not_stopped);
}

static enum outcome set_scale(struct performance *performance) {
    static const struct script_step step = {.file = "--scale", .text = "INIT 0 TIME 1 1"};
    return performance->tool->options->scale > 0 ? send_step(performance, &step) : OUTCOME_DONE;
}

static bool goes_on(const struct performance *performance, enum outcome outcome) {
    bool is_line =
        outcome == OUTCOME_REFUSED || outcome == OUTCOME_TIMED_OUT || outcome == OUTCOME_FAULT;
    /* A reply that may still come would be taken for that to the next line. */
    bool is_answered = outcome != OUTCOME_TIMED_OUT ||
                       strstr(performance->tool->error.what, "ERROR timeout") != NULL;
    return performance->on_failure == SCRIPT_GO_ON && is_line && is_answered;
}

static enum outcome perform_all(struct performance *performance) {
    struct tool *tool = performance->tool;
    enum outcome outcome = set_scale(performance);
    for (size_t i = 0; i < performance->script->steps && outcome == OUTCOME_DONE; i++) {
        show_step(performance, i);
        outcome = perform(performance, &performance->script->step[i]);
        if (goes_on(performance, outcome)) {
            progress_end(&performance->progress);
            fprintf(tool->streams.err, "drawtender: perform: %s\n", tool->error.what);
            performance->failed++;
            outcome = OUTCOME_DONE;
        }
    }
    progress_end(&performance->progress);
    if (outcome != OUTCOME_DONE) {
        make_safe(performance, outcome);
    } else { /* the last reply may be here before the news of the same moment */
        bridge_link_catch_up(&tool->link, NULL);
    }
    return outcome;
}

enum outcome performance_run(struct performance *performance) {
    struct tool *tool = performance->tool;
    struct dead_man man;
    if (!dead_man_begin(&man, stop_spans_left_alone, performance)) {
        fprintf(tool->streams.err, "drawtender: perform: cannot start the process that stops the "
                                   "span if this one is killed\n");
    }
    enum outcome outcome = perform_all(performance);
    dead_man_release(&man);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    if (performance->failed > 0) {
        error_set(&tool->error, "", "finished, but %zu lines failed", performance->failed);
        return OUTCOME_REFUSED;
    }
    snprintf(tool->result, sizeof tool->result, "finished: %zu steps", performance->script->steps);
    return OUTCOME_DONE;
}
