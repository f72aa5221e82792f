/* Verbs that ask for one thing and do not wait for a movement: stop to signal. */
#include "tools/drawtender/client/words.h"
#include "tools/drawtender/verbs/verbs.h"

#include <inttypes.h>
#include <string.h>

/* Ports of the span, GA: what setting one to 1 asks for. */
enum { PORT_STOP = 2, PORT_EMERGENCY_STOP = 3, PORT_ACKNOWLEDGE = 4, PORT_SEEN_CLEAR = 7 };

enum { DEFAULT_SPAN = 1 };

/* A stop does not wait to learn where the span is: it asks at the default address first. No other
 * device of a bridge has these ports, so that a wrong guess is refused and does nothing. */
static enum outcome stop(struct tool *tool, unsigned port) {
    struct bridge_link *link = &tool->link;
    enum outcome outcome = bridge_link_command(link, tool->options, &tool->error);
    if (outcome == OUTCOME_DONE) {
        outcome = bridge_link_set(link, DEFAULT_SPAN, port, &tool->error);
    }
    if (outcome != OUTCOME_REFUSED) {
        return outcome;
    }
    bridge_link_close(link);
    struct error error;
    if (bridge_link_open(link, tool->options, &error) != OUTCOME_DONE ||
        bridge_link_span(link) == DEFAULT_SPAN) {
        return outcome; /* that of the first try */
    }
    return bridge_link_set(link, bridge_link_span(link), port, &tool->error);
}

enum outcome verb_stop(struct tool *tool) {
    snprintf(tool->result, sizeof tool->result, "asked the span to stop where it is");
    return stop(tool, PORT_STOP);
}

enum outcome verb_emergency_stop(struct tool *tool) {
    snprintf(tool->result, sizeof tool->result,
             "emergency stop: latched as a fault; acknowledge it once all is clear");
    return stop(tool, PORT_EMERGENCY_STOP);
}

/* Sets a port of the span, and hears what came of it. */
static enum outcome ask_span(struct tool *tool, unsigned port) {
    struct bridge_link *link = &tool->link;
    enum outcome outcome = bridge_link_open(link, tool->options, &tool->error);
    if (outcome == OUTCOME_DONE) {
        outcome = bridge_link_set(link, bridge_link_span(link), port, &tool->error);
    }
    return outcome == OUTCOME_DONE ? bridge_link_catch_up(link, &tool->error) : outcome;
}

enum outcome verb_acknowledge(struct tool *tool) {
    struct bridge_link *link = &tool->link;
    enum outcome outcome = bridge_link_open(link, tool->options, &tool->error);
    bool is_faulted = picture_is_faulted(&link->picture);
    if (outcome == OUTCOME_DONE) { /* asked all the same: a fault may have come since */
        outcome = bridge_link_set(link, bridge_link_span(link), PORT_ACKNOWLEDGE, &tool->error);
    }
    if (outcome == OUTCOME_DONE) {
        outcome = bridge_link_catch_up(link, &tool->error);
    }
    snprintf(tool->result, sizeof tool->result, "%s; the bridge is %s",
             is_faulted ? "acknowledged" : "there was no fault to acknowledge",
             link->picture.phase);
    return outcome;
}

enum outcome verb_seen_clear(struct tool *tool) {
    enum outcome outcome = ask_span(tool, PORT_SEEN_CLEAR);
    const struct picture *picture = &tool->link.picture;
    const struct picture_device *span = picture_labelled(picture, SRCP_GA, "span");
    bool is_taken = span != NULL && picture_value(span, PORT_SEEN_CLEAR, 0) == 1;
    snprintf(tool->result, sizeof tool->result, "%s; the bridge is %s",
             is_taken ? "seen clear: valid for 20 s, for this opening"
                      : "nothing is waiting for that report",
             picture->phase);
    return outcome;
}

/* One of two words; returns false and says so for any other. */
static bool choose(struct tool *tool, const char *word, const char *zero, const char *one,
                   bool *is_one) {
    *is_one = strcmp(word, one) == 0;
    if (!*is_one && strcmp(word, zero) != 0) {
        error_set(&tool->error, "", "'%.40s': wanted %s or %s", word, zero, one);
        return false;
    }
    return true;
}

enum outcome verb_power(struct tool *tool) {
    bool is_on;
    if (!choose(tool, tool->options->word[0], "off", "on", &is_on)) {
        return OUTCOME_USAGE;
    }
    enum outcome outcome = bridge_link_open(&tool->link, tool->options, &tool->error);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    char line[64];
    snprintf(line, sizeof line, "SET %u POWER %s", tool->options->bus, is_on ? "ON" : "OFF");
    struct srcp_answer reply;
    outcome = bridge_link_ask(&tool->link, line, &reply, &tool->error);
    if (outcome == OUTCOME_DONE) {
        outcome = bridge_link_catch_up(&tool->link, &tool->error);
    }
    const struct picture *picture = &tool->link.picture;
    bool is_so = picture->has_power && picture->is_power_on == is_on;
    snprintf(tool->result, sizeof tool->result, "power %s%s", is_on ? "on" : "off",
             is_so ? "" : ": granted, not yet in effect");
    return outcome;
}

/* The words but the last, as a name. */
static void join_name(const struct tool_options *options, char *name, size_t size) {
    name[0] = '\0';
    for (size_t i = 0; i + 1 < options->words; i++) {
        size_t used = strlen(name);
        snprintf(name + used, size - used, "%s%s", i > 0 ? " " : "", options->word[i]);
    }
}

/* By its place ("main west"), its label or its address. */
static const struct picture_device *find_signal(const struct picture *picture, const char *name) {
    for (size_t i = 0; i < picture->devices; i++) {
        const struct picture_device *device = &picture->device[i];
        char address[16];
        snprintf(address, sizeof address, "%" PRId32, device->address);
        if (words_sort(device) == WORDS_SIGNAL &&
            (strcmp(name, words_name(device)) == 0 || strcmp(name, device->label) == 0 ||
             strcmp(name, address) == 0)) {
            return device;
        }
    }
    return NULL;
}

static enum outcome no_signal(struct tool *tool, const char *name) {
    const struct picture *picture = &tool->link.picture;
    char *what = tool->error.what;
    error_set(&tool->error, "", "no signal '%.60s'; there are:", name);
    for (size_t i = 0; i < picture->devices; i++) {
        const struct picture_device *device = &picture->device[i];
        if (words_sort(device) == WORDS_SIGNAL) {
            size_t used = strlen(what);
            snprintf(what + used, sizeof tool->error.what - used, " %s (%" PRId32 ")",
                     words_name(device), device->address);
        }
    }
    return OUTCOME_REFUSED;
}

enum outcome verb_signal(struct tool *tool) {
    const struct tool_options *options = tool->options;
    bool is_proceed;
    if (!choose(tool, options->word[options->words - 1], "stop", "proceed", &is_proceed)) {
        return OUTCOME_USAGE;
    }
    enum outcome outcome = bridge_link_open(&tool->link, options, &tool->error);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    char name[PICTURE_TEXT_SIZE];
    join_name(options, name, sizeof name);
    const struct picture_device *device = find_signal(&tool->link.picture, name);
    if (device == NULL) {
        return no_signal(tool, name);
    }
    outcome = bridge_link_set(&tool->link, device->address, is_proceed, &tool->error);
    if (outcome == OUTCOME_DONE) {
        outcome = bridge_link_catch_up(&tool->link, &tool->error);
    }
    bool is_so = picture_value(device, 1, -1) == (int32_t)is_proceed;
    snprintf(tool->result, sizeof tool->result, "signal %.80s: %s%s%s", words_name(device),
             words_of(device), is_so ? "" : "; granted, not yet in effect",
             !is_so && device->is_locked ? ", held" : "");
    return outcome;
}
