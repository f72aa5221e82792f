/* verb_events.c: the events of a configuration's bridges as nodes of LCC, to be copied into other
 * nodes. Needs no daemon, and moves nothing. */
#include "protocol/lcc/identifier.h"
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/base/table.h"
#include "tools/drawtender/lcc/event_list.h"
#include "tools/drawtender/verbs/verbs.h"

#include <stdlib.h>

/* All that is too large for the stack. */
struct listing {
    struct config config;
    struct config_report complaints;
};

static void add(void *context, const struct event_row *row) {
    struct table *table = context;
    char id[LCC_EVENT_TEXT];
    lcc_identifier_write(row->event, LCC_EVENT_BYTES, id);
    table_text(table, row->bridge);
    table_text(table, row->name);
    table_text(table, row->use);
    table_text(table, id);
}

/* Returns how many bridges are nodes. */
static unsigned fill(struct table *table, const struct config *config) {
    static const char *const columns[] = {"bridge", "event", "use", "id", NULL};
    table_begin(table, columns);
    return event_list_each(config, add, table);
}

static void print(const struct tool *tool, const struct table *table) {
    FILE *out = tool->streams.out;
    if (tool->options->is_json) {
        cJSON *object = cJSON_CreateObject();
        cJSON_AddItemToObject(object, "events", table_json(table));
        json_print(out, object);
    } else if (tool->options->is_csv) {
        table_print_csv(table, out);
    } else if (!tool->options->is_quiet) {
        table_print(table, out);
    }
}

static enum outcome list(struct tool *tool, struct listing *listing) {
    const char *file = tool->options->word[0];
    if (!event_list_read(file, &listing->config, &listing->complaints, &tool->error)) {
        return OUTCOME_CONFIGURATION;
    }
    struct table table;
    unsigned nodes = fill(&table, &listing->config);
    enum outcome outcome = OUTCOME_DONE;
    if (nodes == 0) {
        error_set(&tool->error, "", "%.100s: no bridge is a node of LCC (\"lcc\" of a bridge)",
                  file);
        outcome = OUTCOME_CONFIGURATION;
    } else if (table.has_failed) {
        error_set(&tool->error, "", "out of memory");
        outcome = OUTCOME_UNWRITTEN;
    } else {
        tool->has_printed = true;
        print(tool, &table);
    }
    table_free(&table);
    return outcome;
}

enum outcome verb_events(struct tool *tool) {
    struct listing *listing = calloc(1, sizeof *listing);
    if (listing == NULL) {
        error_set(&tool->error, "", "out of memory");
        return OUTCOME_UNWRITTEN;
    }
    enum outcome outcome = list(tool, listing);
    free(listing);
    return outcome;
}
