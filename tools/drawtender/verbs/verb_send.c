/* The verb send: one line of the protocol, and its reply as it came. */
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/verbs/verbs.h"

#include <string.h>

/* Joins the words to a line. A line that the protocol cannot carry, or two hidden in one, is a
 * mistake of the command line. */
static bool join(struct tool *tool, char line[SRCP_LINE_MAX]) {
    size_t used = 0;
    for (size_t i = 0; i < tool->options->words; i++) {
        const char *word = tool->options->word[i];
        size_t length = strlen(word);
        if (used + (i > 0) + length > SRCP_LINE_MAX - 1) {
            return error_set(&tool->error, "", "the line is longer than %d characters",
                             SRCP_LINE_MAX - 1);
        }
        for (const char *c = word; *c != '\0'; c++) {
            if ((*c < ' ' && *c != '\t') || *c > '~') {
                return error_set(&tool->error, "",
                                 "the line contains bytes other than printable ASCII");
            }
        }
        if (i > 0) {
            line[used++] = ' ';
        }
        memcpy(line + used, word, length);
        used += length;
    }
    line[used] = '\0';
    return used > 0 || error_set(&tool->error, "", "the line is empty");
}

static const char *kind_name(enum srcp_answer_kind kind) {
    switch (kind) {
    case SRCP_ANSWER_INFO:
        return "INFO";
    case SRCP_ANSWER_OK:
        return "OK";
    case SRCP_ANSWER_ERROR:
        return "ERROR";
    }
    return "";
}

static void print_reply(const struct tool *tool, const struct srcp_answer *reply) {
    char words[SRCP_LINE_MAX];
    size_t length = reply->words.length < sizeof words - 1 ? reply->words.length : 0;
    memcpy(words, length > 0 ? reply->words.at : "", length);
    words[length] = '\0';
    if (tool->options->is_json) {
        cJSON *object = cJSON_CreateObject();
        cJSON_AddStringToObject(object, "verb", "send");
        cJSON_AddNumberToObject(object, "time", (double)(reply->time_us / 1000) / 1000.0);
        cJSON_AddNumberToObject(object, "code", reply->code);
        cJSON_AddStringToObject(object, "kind", kind_name(reply->kind));
        cJSON_AddStringToObject(object, "words", words);
        json_print(tool->streams.out, object);
    } else {
        fprintf(tool->streams.out, "%.*s %d %s%s%s\n", (int)reply->time.length, reply->time.at,
                (int)reply->code, kind_name(reply->kind), length > 0 ? " " : "", words);
    }
}

/* The limit is for the reply: the line may be a WAIT. */
static enum outcome ask(struct tool *tool, const char *line) {
    struct srcp_answer reply;
    enum talk_event event =
        talk_ask(&tool->link.command, line, options_deadline(tool->options, true), &reply);
    if (event != TALK_ANSWER) {
        error_set(&tool->error, "", "%s", talk_event_text(event));
        return event == TALK_TIMED_OUT ? OUTCOME_TIMED_OUT : OUTCOME_UNREACHABLE;
    }
    tool->has_printed = true;
    print_reply(tool, &reply);
    if (reply.kind != SRCP_ANSWER_ERROR) {
        return OUTCOME_DONE;
    }
    error_set(&tool->error, "", "the server refused it");
    return reply.code == SRCP_TIMEOUT ? OUTCOME_TIMED_OUT : OUTCOME_REFUSED;
}

enum outcome verb_send(struct tool *tool) {
    char line[SRCP_LINE_MAX];
    if (!join(tool, line)) {
        return OUTCOME_USAGE;
    }
    enum outcome outcome = bridge_link_command(&tool->link, tool->options, &tool->error);
    return outcome == OUTCOME_DONE ? ask(tool, line) : outcome;
}
