/* verb_events.c: the events of a configuration's bridges as nodes of LCC, to be copied into other
 * nodes. Needs no daemon, and moves nothing. */
#include "config/config.h"
#include "protocol/lcc/identifier.h"
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/base/table.h"
#include "tools/drawtender/verbs/verbs.h"

#include <stdlib.h>

/* All that is too large for the stack. */
struct listing {
    struct config config;
    struct config_report complaints;
};

static void add(struct table *table, const char *bridge, const char *name, const char *use,
                uint64_t event) {
    char id[LCC_EVENT_TEXT];
    lcc_identifier_write(event, LCC_EVENT_BYTES, id);
    table_text(table, bridge);
    table_text(table, name);
    table_text(table, use);
    table_text(table, id);
}

static void add_pairs(struct table *table, const char *bridge, const struct lcc_line_setup *pair,
                      unsigned count, const char *use) {
    for (unsigned i = 0; i < count; i++) {
        for (unsigned is_on = 2; is_on-- > 0;) {
            add(table, bridge, pair[i].name[is_on], use, pair[i].event[is_on]);
        }
    }
}

static void add_bridge(struct table *table, const char *name, const struct lcc_bridge_setup *lcc) {
    for (unsigned i = 0; i < lcc->states; i++) {
        for (unsigned is_so = 2; is_so-- > 0;) {
            add(table, name, lcc->state[i].name[is_so], "told", lcc->state[i].event[is_so]);
        }
    }
    for (unsigned i = 0; i < lcc->requests; i++) {
        add(table, name, lcc->request[i].name, "heard", lcc->request[i].event);
    }
    add_pairs(table, name, lcc->command, lcc->commands, "sent");
    add_pairs(table, name, lcc->point, lcc->points, "read");
}

/* Returns how many bridges are nodes. */
static unsigned fill(struct table *table, const struct config *config) {
    static const char *const columns[] = {"bridge", "event", "use", "id", NULL};
    unsigned nodes = 0;
    table_begin(table, columns);
    for (unsigned i = 0; i < config->net.bridges; i++) {
        if (config->lcc.bridge[i].node != 0) {
            add_bridge(table, config->net.bridge[i].name, &config->lcc.bridge[i]);
            nodes++;
        }
    }
    return nodes;
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
    if (!config_read_file(file, &listing->config, &listing->complaints)) {
        const struct error *first = &listing->complaints.errors.complaint[0];
        error_set(&tool->error, "", "%.100s: %.60s: %.140s", file, first->where, first->what);
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
