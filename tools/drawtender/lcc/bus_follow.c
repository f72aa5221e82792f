#include "tools/drawtender/lcc/bus_follow.h"

#include "protocol/lcc/gridconnect.h"
#include "protocol/lcc/identifier.h"
#include "tools/drawtender/base/interrupt.h"
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/base/text.h"
#include "tools/drawtender/lcc/bus_json.h"
#include "tools/drawtender/lcc/bus_words.h"
#include "tools/drawtender/lcc/event_list.h"

#include <stdlib.h>
#include <time.h>

/* All that is too large for the stack. */
struct follow {
    struct tool *tool;
    struct talk talk;
    struct lcc_grid_reader grid;
    struct bus_reader reader;
    bool has_names;
    struct config config;
    struct config_report complaints;
};

static uint64_t wall_clock_us(void) {
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

static void print_text(FILE *out, uint64_t time_us, const struct bus_frame *heard,
                       const char *name) {
    char time[16];
    char node[LCC_NODE_TEXT] = "-";
    char words[BUS_WORDS_SIZE];
    text_time(time_us, time);
    if (heard->source_node != 0) {
        lcc_identifier_write(heard->source_node, LCC_NODE_BYTES, node);
    }
    bus_words(heard, name, words, sizeof words);
    fprintf(out, "%s  %03X  %-17s  %s\n", time, heard->head.source, node, words);
}

static void show(struct follow *follow, const struct lcc_frame *frame) {
    struct bus_frame heard;
    char name[2 * LCC_EVENT_NAME_SIZE] = "";
    bus_reader_take(&follow->reader, deadline_now_ms() * 1000, frame, &heard);
    if (heard.has_event && follow->has_names) {
        event_list_name(&follow->config, heard.event, name, sizeof name);
    }
    FILE *out = follow->tool->streams.out;
    if (follow->tool->options->is_json) {
        json_print(out, bus_json(wall_clock_us(), frame, &heard, name));
    } else {
        print_text(out, wall_clock_us(), &heard, name);
    }
}

static void show_all(struct follow *follow, struct srcp_text bytes) {
    struct lcc_frame frame;
    while (lcc_grid_next(&follow->grid, &bytes.at, &bytes.length, &frame)) {
        show(follow, &frame);
    }
    fflush(follow->tool->streams.out);
}

static enum outcome end(struct tool *tool, enum talk_event event) {
    if (event == TALK_INTERRUPTED) {
        error_set(&tool->error, "", "interrupted");
        return OUTCOME_INTERRUPTED;
    }
    if (tool->error.what[0] == '\0') {
        error_set(&tool->error, "", "%s", talk_event_text(event));
    }
    return OUTCOME_UNREACHABLE;
}

static enum outcome listen_on(struct follow *follow) {
    struct tool *tool = follow->tool;
    struct deadline deadline = options_deadline(tool->options, false);
    for (;;) {
        struct srcp_text bytes;
        enum talk_event event = talk_bytes(&follow->talk, deadline, &bytes);
        if (event == TALK_TIMED_OUT) {
            return OUTCOME_DONE; /* as long as was asked for */
        }
        if (event != TALK_ANSWER) {
            return end(tool, event);
        }
        show_all(follow, bytes);
        if (ferror(tool->streams.out)) {
            error_set(&tool->error, "", "cannot write further output");
            return OUTCOME_UNREACHABLE;
        }
    }
}

static enum outcome connect_and_listen(struct follow *follow) {
    struct tool *tool = follow->tool;
    const struct tool_options *options = tool->options;
    const char *host = options->lcc.host[0] != '\0' ? options->lcc.host : options->host;
    int interrupt = interrupt_catch();
    enum talk_event event = talk_connect(&follow->talk, host, options->lcc.port, interrupt,
                                         deadline_in(options->reply_ms), &tool->error);
    enum outcome outcome = OUTCOME_DONE;
    if (event == TALK_ANSWER) {
        tool->has_printed = true;
        outcome = listen_on(follow);
        talk_close(&follow->talk);
    } else {
        outcome = end(tool, event);
    }
    interrupt_release();
    return outcome;
}

/* Returns false and fills the tool's error if there is a file and it is wrong. */
static bool read_names(struct follow *follow) {
    const struct tool_options *options = follow->tool->options;
    follow->has_names = options->words > 0;
    return !follow->has_names || event_list_read(options->word[0], &follow->config,
                                                 &follow->complaints, &follow->tool->error);
}

enum outcome bus_follow(struct tool *tool) {
    struct follow *follow = calloc(1, sizeof *follow);
    if (follow == NULL) {
        error_set(&tool->error, "", "out of memory");
        return OUTCOME_UNWRITTEN;
    }
    follow->tool = tool;
    enum outcome outcome = read_names(follow) ? connect_and_listen(follow) : OUTCOME_CONFIGURATION;
    free(follow);
    return outcome;
}
