/* verb_logbook.c: reports from a record. Needs no daemon, and moves nothing. */
#include "plots/logbook_plots.h"
#include "records/read/logbook.h"
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/logbook/logbook_tables.h"
#include "tools/drawtender/verbs/verbs.h"

#include <errno.h>
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static void say_unread(struct tool *tool, const struct error *why) {
    error_set(&tool->error, "", "%.100s: %.140s", tool->options->word[0], why->what);
}

static enum outcome read_logbook(struct tool *tool, struct store *store, struct logbook *logbook) {
    const struct tool_options *options = tool->options;
    memset(logbook, 0, sizeof *logbook);
    struct error why = {.what = ""};
    bool is_read =
        store_open_to_read(store, options->word[0], &why) &&
        logbook_read(logbook, store, options->bus, options->from_us, options->to_us, &why);
    if (!is_read) {
        say_unread(tool, &why);
    }
    return is_read ? OUTCOME_DONE : OUTCOME_UNREAD;
}

/* As JSON: {"bridge", "bus", "unit", <name>: [...]}. */
static void print(struct tool *tool, const struct logbook *logbook, const char *name,
                  const struct table *table) {
    FILE *out = tool->streams.out;
    tool->has_printed = true;
    if (tool->options->is_json) {
        cJSON *object = cJSON_CreateObject();
        cJSON_AddStringToObject(object, "bridge", logbook->name);
        cJSON_AddNumberToObject(object, "bus", logbook->bus);
        cJSON_AddStringToObject(object, "position_unit", logbook->unit);
        cJSON_AddItemToObject(object, name, table_json(table));
        json_print(out, object);
    } else if (tool->options->is_csv) {
        table_print_csv(table, out);
    } else if (!tool->options->is_quiet) {
        fprintf(out, "%s, bus %u: %s (positions in %s)\n", logbook->name, logbook->bus, name,
                logbook->unit);
        table_print(table, out);
    }
}

static enum outcome report(struct tool *tool, const struct logbook *logbook) {
    const char *name = tool->options->words > 1 ? tool->options->word[1] : NULL;
    struct table table;
    if (name == NULL) {
        name = "summary";
        logbook_tables_summary(logbook, &table);
    } else if (!logbook_tables_fill(logbook, name, &table)) {
        error_set(&tool->error, "", "no table '%.20s'; there are %s", name, logbook_tables_names());
        return OUTCOME_USAGE;
    }
    print(tool, logbook, name, &table);
    table_free(&table);
    const char *folder = tool->options->plots;
    return folder == NULL || logbook_plots_openings(logbook, folder, &tool->error)
               ? OUTCOME_DONE
               : OUTCOME_UNWRITTEN;
}

enum outcome verb_logbook(struct tool *tool) {
    struct store store = {NULL};
    struct logbook logbook;
    enum outcome outcome = read_logbook(tool, &store, &logbook);
    if (outcome == OUTCOME_DONE) {
        outcome = report(tool, &logbook);
    }
    logbook_free(&logbook);
    store_close(&store);
    return outcome;
}

static enum outcome report_opening(struct tool *tool, struct store *store,
                                   const struct logbook *logbook) {
    char *end;
    int64_t number = strtoll(tool->options->word[1], &end, 10);
    const struct logbook_opening *opening = *end == '\0' ? logbook_opening(logbook, number) : NULL;
    if (opening == NULL) {
        error_set(&tool->error, "", "no opening '%.20s'; the table openings has their numbers",
                  tool->options->word[1]);
        return OUTCOME_UNREAD;
    }
    struct table table;
    logbook_tables_opening(logbook, opening, &table);
    print(tool, logbook, "steps", &table);
    table_free(&table);
    const char *folder = tool->options->plots;
    return folder == NULL || logbook_plots_opening(logbook, opening, store, folder, &tool->error)
               ? OUTCOME_DONE
               : OUTCOME_UNWRITTEN;
}

enum outcome verb_opening(struct tool *tool) {
    struct store store = {NULL};
    struct logbook logbook;
    enum outcome outcome = read_logbook(tool, &store, &logbook);
    if (outcome == OUTCOME_DONE) {
        outcome = report_opening(tool, &store, &logbook);
    }
    logbook_free(&logbook);
    store_close(&store);
    return outcome;
}

/* Into a record that is there; the daemon may be writing it meanwhile. */
enum outcome verb_serviced(struct tool *tool) {
    struct store store = {NULL};
    struct error why = {.what = ""};
    bool is_there = store_open_to_read(&store, tool->options->word[0], &why);
    store_close(&store);
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    uint64_t now_us = (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
    bool is_noted = is_there && store_open(&store, tool->options->word[0], &why) &&
                    logbook_serviced(&store, tool->options->bus, now_us, &why);
    if (!is_noted) {
        say_unread(tool, &why);
    }
    store_close(&store);
    snprintf(tool->result, sizeof tool->result, "noted; openings and hours count from now");
    return is_noted ? OUTCOME_DONE : OUTCOME_UNREAD;
}
