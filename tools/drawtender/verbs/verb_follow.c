/* The verb follow: the bridge as it is, then each change. */
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/base/text.h"
#include "tools/drawtender/lcc/bus_follow.h"
#include "tools/drawtender/verbs/verbs.h"

static void show_state(const struct tool *tool) {
    if (tool->options->is_json) {
        cJSON *object = json_state(&tool->link.picture);
        cJSON_AddStringToObject(object, "event", "state");
        json_print(tool->streams.out, object);
    } else {
        text_state(tool->streams.out, &tool->link.picture);
        fflush(tool->streams.out);
    }
}

static void show_change(const struct tool *tool, const struct picture_change *change,
                        uint64_t time_us) {
    if (tool->options->is_json) {
        json_print(tool->streams.out, json_change(&tool->link.picture, change, time_us));
        return;
    }
    char words[3 * PICTURE_TEXT_SIZE];
    if (text_change(&tool->link.picture, change, words, sizeof words)) {
        char time[16];
        text_time(time_us, time);
        fprintf(tool->streams.out, "%s  %s\n", time, words);
        fflush(tool->streams.out);
    }
}

enum outcome verb_follow(struct tool *tool) {
    if (tool->options->lcc.port != 0) {
        return bus_follow(tool);
    }
    enum outcome outcome = bridge_link_open(&tool->link, tool->options, &tool->error);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    tool->has_printed = true;
    talk_close(&tool->link.command); /* who only watches needs no place among those who command */
    show_state(tool);
    tool->link.deadline = options_deadline(tool->options, false);
    for (;;) {
        struct picture_change change;
        uint64_t time_us;
        enum talk_event event = bridge_link_next(&tool->link, &change, &time_us);
        if (event == TALK_TIMED_OUT) {
            return OUTCOME_DONE; /* as long as was asked for */
        }
        if (event != TALK_ANSWER) {
            error_set(&tool->error, "", "%s", talk_event_text(event));
            return OUTCOME_UNREACHABLE;
        }
        show_change(tool, &change, time_us);
        if (ferror(tool->streams.out)) {
            error_set(&tool->error, "", "cannot write further output");
            return OUTCOME_UNREACHABLE;
        }
    }
}
