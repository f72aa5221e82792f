#include "tools/drawtender/session/script_line.h"

#include "protocol/request.h"
#include "tools/drawtender/base/duration.h"
#include "tools/drawtender/session/script_words.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { TIME_TEXT = 24 };

#define GROUP(name) (1u << (name))

/* What may be on the server and on a bridge's bus: whether it is there, --dry-run tells. */
static enum srcp_code parse(struct srcp_text line, struct srcp_request *request) {
    struct srcp_text rest = line;
    srcp_text_word(&rest);
    int32_t number;
    bool is_bridge = srcp_text_number(srcp_text_word(&rest), &number) && number > 0;
    const struct srcp_bus buses[] = {
        {.bus = 0,
         .groups = GROUP(SRCP_TIME) | GROUP(SRCP_SESSION) | GROUP(SRCP_SERVER) | GROUP(SRCP_GM) |
                   GROUP(SRCP_DESCRIPTION)},
        {.bus = is_bridge ? (unsigned)number : 1,
         .groups = GROUP(SRCP_GA) | GROUP(SRCP_FB) | GROUP(SRCP_POWER) | GROUP(SRCP_LOCK) |
                   GROUP(SRCP_DESCRIPTION),
         .lockable = GROUP(SRCP_GA)}};
    const struct srcp_scope scope = {.bus = buses, .buses = 2};
    enum srcp_code code = srcp_request_parse(line, &scope, request);
    return code != SRCP_NO_FAULT ? code : request->value_fault;
}

static bool take_protocol(struct srcp_text line, struct script_step *step,
                          struct script_line *parsed, struct error *error) {
    struct srcp_request request;
    enum srcp_code code = parse(line, &request);
    if (code != SRCP_NO_FAULT) {
        return error_set(error, "", "'%.*s': %d %s", (int)(line.length < 120 ? line.length : 120),
                         line.at, (int)code, srcp_code_text(code));
    }
    snprintf(parsed->text, sizeof parsed->text, "%.*s", (int)line.length, line.at);
    step->kind = SCRIPT_LINE;
    step->bus = request.bus;
    return true;
}

static bool take_time(struct srcp_text word, uint32_t *ms, struct error *error) {
    char text[TIME_TEXT];
    snprintf(text, sizeof text, "%.*s", (int)word.length, word.at);
    struct error inner;
    return duration_parse(text, ms, &inner) || error_set(error, "", "%.200s", inner.what);
}

/* expect TIME BUS FB|GA ADDRESS [PORT] VALUE LABEL: a WAIT of the protocol with a name. */
static bool take_expect(struct srcp_text rest, struct script_step *step, struct script_line *parsed,
                        struct error *error) {
    if (!take_time(srcp_text_word(&rest), &step->time_ms, error)) {
        return false;
    }
    unsigned seconds = step->time_ms / 1000 + (step->time_ms % 1000 > 0);
    if (seconds > SCRIPT_WITHIN_MAX_S) {
        return error_set(error, "", "longer than a day");
    }
    struct srcp_text from = rest;
    srcp_text_word(&rest); /* the bus */
    bool has_port = srcp_text_is(srcp_text_word(&rest), "GA");
    struct srcp_text last = {0};
    for (int i = 0; i < (has_port ? 3 : 2); i++) {
        last = srcp_text_word(&rest);
    }
    if (last.length == 0 || rest.length == 0) {
        return error_set(error, "", "wanted: %s, or %s", script_words[SCRIPT_WORD_EXPECT_FB].form,
                         script_words[SCRIPT_WORD_EXPECT_GA].form);
    }
    char wait[SCRIPT_LINE_MAX];
    int length = snprintf(wait, sizeof wait, "WAIT %.*s %u", (int)(last.at + last.length - from.at),
                          from.at, seconds);
    if (length < 0 || (size_t)length >= sizeof wait) {
        return error_set(error, "", "the line is too long");
    }
    if (!take_protocol(srcp_text_of(wait), step, parsed, error)) {
        return false;
    }
    step->kind = SCRIPT_EXPECT;
    parsed->label = rest;
    return true;
}

static bool take_pause(struct srcp_text rest, struct script_step *step, struct script_line *parsed,
                       struct error *error) {
    (void)parsed;
    step->kind = SCRIPT_PAUSE;
    return take_time(rest, &step->time_ms, error);
}

static bool take_say(struct srcp_text rest, struct script_step *step, struct script_line *parsed,
                     struct error *error) {
    (void)error;
    step->kind = SCRIPT_SAY;
    snprintf(parsed->text, sizeof parsed->text, "%.*s", (int)rest.length, rest.at);
    return true;
}

static bool take_on(struct srcp_text rest, struct script_step *step, struct script_line *parsed,
                    struct error *error) {
    static const char *const names[] = {
        [SCRIPT_STOP] = "stop", [SCRIPT_LOWER] = "lower", [SCRIPT_GO_ON] = "go on"};
    (void)parsed;
    step->kind = SCRIPT_ON_FAILURE;
    bool is_failure = srcp_text_is(srcp_text_word(&rest), "failure");
    for (size_t i = 0; i < sizeof names / sizeof names[0] && is_failure; i++) {
        if (srcp_text_is(rest, names[i])) {
            step->failure = (enum script_failure)i;
            return true;
        }
    }
    return error_set(error, "", "wanted: on failure stop, lower or go on");
}

bool script_line_parse(struct srcp_text line, struct script_step *step, struct script_line *parsed,
                       struct error *error) {
    static const struct {
        const char *word;
        bool (*take)(struct srcp_text rest, struct script_step *step, struct script_line *parsed,
                     struct error *error);
    } words[] = {
        {"expect", take_expect}, {"pause", take_pause}, {"say", take_say}, {"on", take_on}};
    parsed->text[0] = '\0';
    parsed->label = srcp_text_of("");
    struct srcp_text rest = line;
    struct srcp_text word = srcp_text_word(&rest);
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (srcp_text_is(word, words[i].word)) {
            return words[i].take(rest, step, parsed, error);
        }
    }
    return take_protocol(line, step, parsed, error);
}

/* Whether the device is there is what its lock, its description, or the power on its bus tells. */
static void try_setup(const struct srcp_request *request, char trial[SCRIPT_LINE_MAX]) {
    if (request->group == SRCP_LOCK) {
        snprintf(trial, SCRIPT_LINE_MAX, "GET %u LOCK %s %" PRId32, request->bus,
                 srcp_group_name(request->target), request->address);
    } else if (request->group == SRCP_GA || request->group == SRCP_FB) {
        snprintf(trial, SCRIPT_LINE_MAX, "GET %u DESCRIPTION %s %" PRId32, request->bus,
                 srcp_group_name(request->group), request->address);
    } else if (request->group == SRCP_POWER) {
        snprintf(trial, SCRIPT_LINE_MAX, "GET %u POWER", request->bus);
    }
}

static void try_wait(const struct srcp_request *request, char trial[SCRIPT_LINE_MAX]) {
    if (request->group == SRCP_FB) {
        snprintf(trial, SCRIPT_LINE_MAX, "GET %u FB %" PRId32, request->bus, request->address);
    } else if (request->group == SRCP_GA) {
        snprintf(trial, SCRIPT_LINE_MAX, "GET %u GA %" PRId32 " %" PRId32, request->bus,
                 request->address, request->port);
    } else if (request->group == SRCP_TIME) {
        snprintf(trial, SCRIPT_LINE_MAX, "GET 0 TIME");
    }
}

void script_line_trial(const char *line, char trial[SCRIPT_LINE_MAX]) {
    struct srcp_request request;
    trial[0] = '\0';
    if (parse(srcp_text_of(line), &request) != SRCP_NO_FAULT) {
        return;
    }
    if (request.command == SRCP_GET) {
        snprintf(trial, SCRIPT_LINE_MAX, "%s", line);
    } else if (request.command == SRCP_SET || request.command == SRCP_CHECK) {
        struct srcp_text rest = srcp_text_of(line);
        srcp_text_word(&rest);
        if (strlen("CHECK ") + rest.length < SCRIPT_LINE_MAX) {
            snprintf(trial, SCRIPT_LINE_MAX, "CHECK %.*s", (int)rest.length, rest.at);
        }
    } else if (request.command == SRCP_WAIT) {
        try_wait(&request, trial);
    } else if (request.command == SRCP_INIT || request.command == SRCP_TERM) {
        try_setup(&request, trial);
    }
}

enum script_clock script_line_clock(const char *line) {
    struct srcp_request request;
    if (parse(srcp_text_of(line), &request) != SRCP_NO_FAULT || request.group != SRCP_TIME) {
        return SCRIPT_CLOCK_NOTHING;
    }
    return request.command == SRCP_INIT   ? SCRIPT_CLOCK_INIT
           : request.command == SRCP_SET  ? SCRIPT_CLOCK_SET
           : request.command == SRCP_TERM ? SCRIPT_CLOCK_END
           : request.command == SRCP_WAIT ? SCRIPT_CLOCK_WAIT
                                          : SCRIPT_CLOCK_NOTHING;
}

int32_t script_line_timeout(const char *line) {
    struct srcp_request request;
    bool is_wait = parse(srcp_text_of(line), &request) == SRCP_NO_FAULT &&
                   request.command == SRCP_WAIT && request.group != SRCP_TIME;
    return is_wait ? request.timeout_s : 0;
}
