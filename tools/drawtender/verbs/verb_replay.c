/* verb_replay.c: recorded steps again through the core. Needs no daemon, and moves nothing. */
#include "base/text/moment.h"
#include "records/codec/kept.h"
#include "records/read/logbook.h"
#include "records/read/replay.h"
#include "tools/drawtender/verbs/verbs.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

/* Around one event: what led to it, and what came of it at once. */
enum { BEFORE_US = 5000000, AFTER_US = 500000 };

/* What --keep writes: nothing, not even an empty file, before there is a step. */
struct keeping {
    const char *path; /* NULL: not asked for */
    bool has_failed;
    struct kept_writer writer;
};

static void keep_begin(void *context, const char *bridge, const struct bridge_setup *setup,
                       const struct bridge_state *state) {
    struct keeping *keeping = context;
    if (keeping->writer.out == NULL && !keeping->has_failed) {
        keeping->writer.out = fopen(keeping->path, "w");
        keeping->has_failed = keeping->writer.out == NULL;
    }
    if (!keeping->has_failed) {
        kept_begin(&keeping->writer, bridge, setup, state);
    }
}

static void keep_step(void *context, uint64_t at_us, const struct kept_step *step) {
    struct keeping *keeping = context;
    (void)at_us;
    if (!keeping->has_failed) {
        kept_step_write(&keeping->writer, step);
    }
}

static void keep_end(struct keeping *keeping) {
    if (keeping->writer.out != NULL) {
        keeping->has_failed |= fclose(keeping->writer.out) != 0;
    }
}

/* The span around an event, by its number. */
static bool find_event(struct tool *tool, struct store *store, struct replay_span *span) {
    char *end;
    int64_t number = strtoll(tool->options->word[1], &end, 10);
    struct logbook logbook;
    bool is_found = false;
    if (logbook_read(&logbook, store, tool->options->bus, 0, INT64_MAX, &tool->error)) {
        error_set(&tool->error, "", "no event '%.20s'; the table events has their numbers",
                  tool->options->word[1]);
        for (size_t i = 0; *end == '\0' && i < logbook.events; i++) {
            if (logbook.event[i].number == number) {
                uint64_t at_us = logbook.event[i].event.at_us;
                span->from_us = at_us > BEFORE_US ? at_us - BEFORE_US : 0;
                span->to_us = at_us + AFTER_US;
                span->run = logbook.event[i].run;
                is_found = true;
            }
        }
    }
    logbook_free(&logbook);
    return is_found;
}

static void say_foreign(const struct replay_foreign *foreign, char *text, size_t size) {
    char began[MOMENT_SIZE];
    moment_write(foreign->last_us, began);
    snprintf(text, size, "drawtenderd %s, run of %s, had a different core from this tool's",
             foreign->version, began);
}

/* Nothing was run again. */
static enum outcome tell_nothing(struct tool *tool, const struct replay_result *result) {
    char why[160];
    say_foreign(&result->foreign, why, sizeof why);
    if (result->foreign.runs > 0) {
        error_set(&tool->error, "",
                  "these steps cannot be replayed here: %s; use the tool of that build. logbook "
                  "and opening can read the record",
                  why);
    } else {
        error_set(&tool->error, "", "no steps of that time are recorded");
    }
    return OUTCOME_UNREAD;
}

static enum outcome tell(struct tool *tool, const struct replay_result *result) {
    const struct replay_difference *difference = &result->difference;
    if (difference->serial != 0) {
        char at[MOMENT_SIZE];
        moment_write(difference->at_us, at);
        error_set(&tool->error, "", "step %" PRIu64 " at %s, of drawtenderd %s: %.160s",
                  difference->serial, at, difference->version, difference->what);
        return OUTCOME_REFUSED;
    }
    if (result->steps == 0) {
        return tell_nothing(tool, result);
    }
    int length = snprintf(tool->result, sizeof tool->result,
                          "%" PRIu64 " steps in %u stretch%s: the same again", result->steps,
                          result->stretches, result->stretches == 1 ? "" : "es");
    if (result->foreign.runs > 0) {
        char why[160];
        say_foreign(&result->foreign, why, sizeof why);
        snprintf(tool->result + length, sizeof tool->result - (size_t)length,
                 "; left out %u run%s: %s", result->foreign.runs,
                 result->foreign.runs == 1 ? "" : "s", why);
    }
    return OUTCOME_DONE;
}

static enum outcome replay(struct tool *tool, struct store *store, struct keeping *keeping) {
    struct replay_span span = {.bus = tool->options->bus,
                               .from_us = tool->options->from_us,
                               .to_us = tool->options->to_us};
    if (tool->options->words > 1 && !find_event(tool, store, &span)) {
        return OUTCOME_UNREAD;
    }
    struct replay_result result;
    const struct replay_watcher watcher = {keeping, keep_begin, keep_step};
    bool is_read =
        replay_run(store, &span, keeping->path != NULL ? &watcher : NULL, &result, &tool->error);
    keep_end(keeping);
    if (keeping->has_failed) {
        error_set(&tool->error, "", "%.120s could not be written", keeping->path);
        return OUTCOME_UNWRITTEN;
    }
    return is_read ? tell(tool, &result) : OUTCOME_UNREAD;
}

enum outcome verb_replay(struct tool *tool) {
    struct store store = {NULL};
    struct error why = {.what = ""};
    if (!store_open_to_read(&store, tool->options->word[0], &why)) {
        error_set(&tool->error, "", "%.100s: %.140s", tool->options->word[0], why.what);
        return OUTCOME_UNREAD;
    }
    struct keeping *keeping = calloc(1, sizeof *keeping);
    enum outcome outcome = OUTCOME_UNREAD;
    if (keeping == NULL) {
        error_set(&tool->error, "", "out of memory");
    } else {
        keeping->path = tool->options->keep;
        outcome = replay(tool, &store, keeping);
    }
    free(keeping);
    store_close(&store);
    return outcome;
}
