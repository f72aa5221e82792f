/* verb_replay.c: recorded steps again through the core. Needs no daemon, and moves nothing. */
#include "base/moment.h"
#include "records/kept.h"
#include "records/logbook.h"
#include "records/replay.h"
#include "tools/drawtender/verbs.h"

#include <errno.h>
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

/* Around one event: what led to it, and what came of it at once. */
enum { BEFORE_US = 5000000, AFTER_US = 500000 };

static void keep_begin(void *context, const char *bridge, const struct bridge_setup *setup,
                       const struct bridge_state *state) {
    kept_begin(context, bridge, setup, state);
}

static void keep_step(void *context, uint64_t at_us, const struct kept_step *step) {
    (void)at_us;
    kept_step_write(context, step);
}

/* The time of an event by its number. */
static bool find_event(struct tool *tool, struct store *store, uint64_t *at_us) {
    char *end;
    int64_t number = strtoll(tool->options->word[1], &end, 10);
    struct logbook logbook;
    bool is_found = false;
    if (logbook_read(&logbook, store, tool->options->bus, 0, INT64_MAX, &tool->error)) {
        error_set(&tool->error, "", "no event '%.20s'; the table events has their numbers",
                  tool->options->word[1]);
        for (size_t i = 0; *end == '\0' && i < logbook.events; i++) {
            if (logbook.event[i].number == number) {
                *at_us = logbook.event[i].event.at_us;
                is_found = true;
            }
        }
    }
    logbook_free(&logbook);
    return is_found;
}

static enum outcome tell(struct tool *tool, const struct replay_result *result) {
    const struct replay_difference *difference = &result->difference;
    if (difference->serial != 0) {
        char at[MOMENT_SIZE];
        moment_write(difference->at_us, at);
        error_set(&tool->error, "", "step %" PRIu64 " at %s: %s", difference->serial, at,
                  difference->what);
        return OUTCOME_REFUSED;
    }
    if (result->steps == 0) {
        error_set(&tool->error, "", "no steps of that time are kept");
        return OUTCOME_UNREAD;
    }
    snprintf(tool->said, sizeof tool->said, "%" PRIu64 " steps in %u stretch%s: the same again",
             result->steps, result->stretches, result->stretches == 1 ? "" : "es");
    return OUTCOME_DONE;
}

static enum outcome replay(struct tool *tool, struct store *store, FILE *keep) {
    struct replay_span span = {.bus = tool->options->bus,
                               .from_us = tool->options->from_us,
                               .to_us = tool->options->to_us};
    uint64_t at_us;
    if (tool->options->words > 1) {
        if (!find_event(tool, store, &at_us)) {
            return OUTCOME_REFUSED;
        }
        span.from_us = at_us > BEFORE_US ? at_us - BEFORE_US : 0;
        span.to_us = at_us + AFTER_US;
    }
    struct kept_writer *writer = calloc(1, sizeof *writer);
    struct replay_result result;
    if (writer == NULL) {
        error_set(&tool->error, "", "no memory left");
        return OUTCOME_UNREAD;
    }
    writer->out = keep;
    const struct replay_watcher watcher = {writer, keep_begin, keep_step};
    bool is_read = replay_run(store, &span, keep != NULL ? &watcher : NULL, &result, &tool->error);
    free(writer);
    return is_read ? tell(tool, &result) : OUTCOME_UNREAD;
}

enum outcome verb_replay(struct tool *tool) {
    struct store store = {NULL};
    const char *name = tool->options->keep;
    if (!store_open_to_read(&store, tool->options->word[0], &tool->error)) {
        return OUTCOME_UNREAD;
    }
    FILE *keep = name != NULL ? fopen(name, "w") : NULL;
    enum outcome outcome = OUTCOME_UNWRITTEN;
    if (name != NULL && keep == NULL) {
        error_set(&tool->error, "", "%.120s: %s", name, strerror(errno));
    } else {
        outcome = replay(tool, &store, keep);
    }
    store_close(&store);
    if (keep != NULL && (fclose(keep) != 0) && outcome == OUTCOME_DONE) {
        error_set(&tool->error, "", "%.120s: not all was written", name);
        outcome = OUTCOME_UNWRITTEN;
    }
    return outcome;
}
