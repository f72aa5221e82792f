/* verb_plan.c: plans the openings of a timetable. Needs no daemon, and moves nothing. */
#include "tools/drawtender/base/file_text.h"
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/timetable/timetable_json.h"
#include "tools/drawtender/timetable/timetable_words.h"
#include "tools/drawtender/verbs/verbs.h"

#include <stdlib.h>
#include <string.h>

enum { SEED = 1 };

/* What is planned, and for which bridge. */
struct planning {
    struct timetable timetable;
    struct bridge_times times; /* of --config and --record */
    struct timetable_bridge bridge;
};

/* Writes a whole file or none. */
static bool write_file(struct tool *tool, const char *path, const struct planning *planning,
                       bool is_script) {
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);
    if (out == NULL) {
        return error_set(&tool->error, "", "out of memory");
    }
    if (is_script) {
        timetable_script(out, &planning->timetable, &planning->bridge);
    } else {
        timetable_diagram(out, &planning->timetable);
    }
    struct error inner;
    bool is_written = fclose(out) == 0 && file_text_replace(path, text, &inner);
    free(text);
    return is_written ||
           error_set(&tool->error, "", "could not write %.100s: %.100s", path, inner.what);
}

static enum outcome write_files(struct tool *tool, const struct planning *planning) {
    const struct tool_options *options = tool->options;
    bool is_written =
        (options->script == NULL || write_file(tool, options->script, planning, true)) &&
        (options->diagram == NULL || write_file(tool, options->diagram, planning, false));
    return is_written ? OUTCOME_DONE : OUTCOME_UNWRITTEN;
}

static void print_json(struct tool *tool, const struct timetable *timetable, enum outcome outcome) {
    cJSON *object = timetable_json(timetable);
    cJSON_AddStringToObject(object, "verb", tool->options->verb);
    cJSON_AddStringToObject(object, "outcome", outcome_name(outcome));
    json_print(tool->streams.out, object);
    tool->has_printed = true;
}

static enum outcome report(struct tool *tool, const struct timetable *timetable) {
    const struct plan *plan = &timetable->plan;
    bool is_shown = !tool->options->is_quiet && !tool->options->is_json;
    if (is_shown) {
        timetable_words(tool->streams.out, timetable);
    }
    size_t conflicts = timetable_conflicts(tool->streams.err, timetable);
    enum outcome outcome = conflicts > 0 ? OUTCOME_REFUSED : OUTCOME_DONE;
    if (conflicts > 0) {
        error_set(&tool->error, "", "boats that wait too long: %zu", conflicts);
    }
    snprintf(tool->result, sizeof tool->result,
             "%zu trains, %zu boats, %zu openings; boats wait %lld s in all", plan->trains,
             plan->boats, plan->openings, (long long)plan->waiting_s);
    if (tool->options->is_json) {
        print_json(tool, timetable, outcome);
    }
    return outcome;
}

/* --- where the bridge's times are known from */

static bool has_name(const struct net_bridge_setup *bridge, const struct tool_options *options) {
    return options->bridge != NULL ? strcmp(bridge->name, options->bridge) == 0
                                   : !options->has_bus_option || bridge->bus == options->bus;
}

/* By name, by bus, or the only one there is. NULL: none, or more than one. */
static const struct net_bridge_setup *find_bridge(struct tool *tool, const struct net_setup *net) {
    const struct net_bridge_setup *found = NULL;
    unsigned count = 0;
    for (unsigned i = 0; i < net->bridges; i++) {
        if (has_name(&net->bridge[i], tool->options)) {
            found = &net->bridge[i];
            count++;
        }
    }
    if (count != 1) {
        error_set(&tool->error, "", "%.100s has %s; choose one with --bridge NAME or --bus NUMBER",
                  tool->options->config, count == 0 ? "no such bridge" : "several bridges");
    }
    return count == 1 ? found : NULL;
}

static bool reckon(struct tool *tool, const struct config *config, struct planning *planning) {
    const struct net_bridge_setup *net = find_bridge(tool, &config->net);
    if (net == NULL) {
        return false;
    }
    const unsigned *address = net->address.device;
    planning->bridge = (struct timetable_bridge){.bus = net->bus,
                                                 .span = address[NET_DEVICE_SPAN],
                                                 .open = address[NET_DEVICE_OPEN],
                                                 .lined = address[NET_DEVICE_LINED]};
    if (tool->options->script != NULL &&
        (planning->bridge.span == 0 || planning->bridge.open == 0 || planning->bridge.lined == 0)) {
        return error_set(&tool->error, "",
                         "a script needs the addresses \"span\", \"open\" and \"lined\" of \"%s\"",
                         net->name);
    }
    return bridge_times_reckon(&planning->times, net, &config->bridge[net - config->net.bridge],
                               &tool->error);
}

static enum outcome take_config(struct tool *tool, struct planning *planning) {
    struct {
        struct config config;
        struct config_report report;
    } *read = calloc(1, sizeof *read);
    if (read == NULL) {
        error_set(&tool->error, "", "out of memory");
        return OUTCOME_CONFIGURATION;
    }
    const char *file = tool->options->config;
    bool is_taken = config_read_file(file, &read->config, &read->report);
    if (!is_taken) {
        const struct config_list *errors = &read->report.errors;
        const struct error *first = &errors->complaint[0];
        bool has_place = first->where[0] != '\0' && strcmp(first->where, file) != 0;
        error_set(&tool->error, "", "%.60s: %.60s%s%.90s%s", file, has_place ? first->where : "",
                  has_place ? ": " : "", first->what,
                  errors->count > 1 ? "; and more: drawtenderd --check" : "");
    }
    is_taken = is_taken && reckon(tool, &read->config, planning);
    free(read);
    return is_taken ? OUTCOME_DONE : OUTCOME_CONFIGURATION;
}

static enum outcome take_record(struct tool *tool, struct planning *planning) {
    const struct tool_options *options = tool->options;
    struct store store = {NULL};
    struct logbook logbook = {.events = 0};
    struct bridge_times measured;
    struct error why = {{0}, {0}};
    bool is_measured = store_open_to_read(&store, options->record, &why) &&
                       logbook_read(&logbook, &store, planning->bridge.bus, options->from_us,
                                    options->to_us, &why) &&
                       bridge_times_measure(&measured, &logbook, &why);
    if (is_measured) {
        bridge_times_prefer(&planning->times, &measured);
    } else {
        error_set(&tool->error, "", "%.100s: %.140s", options->record, why.what);
    }
    logbook_free(&logbook);
    store_close(&store);
    return is_measured ? OUTCOME_DONE : OUTCOME_UNREAD;
}

/* What was measured goes before what was reckoned. */
static enum outcome find_times(struct tool *tool, struct planning *planning) {
    const struct tool_options *options = tool->options;
    bridge_times_clear(&planning->times);
    planning->bridge = timetable_usual_bridge(options->bus);
    if (options->bridge != NULL && options->config == NULL) {
        error_set(&tool->error, "", "--bridge needs --config FILE");
        return OUTCOME_USAGE;
    }
    enum outcome outcome = options->config != NULL ? take_config(tool, planning) : OUTCOME_DONE;
    return outcome == OUTCOME_DONE && options->record != NULL ? take_record(tool, planning)
                                                              : outcome;
}

/* --- all of it */

static enum outcome read_and_plan(struct tool *tool, struct planning *planning) {
    struct timetable *timetable = &planning->timetable;
    const char *path = tool->options->word[0];
    uint32_t seed = tool->options->seed > 0 ? tool->options->seed : SEED;
    struct error error = {{0}, {0}};
    enum outcome outcome = find_times(tool, planning);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    char *text = file_text_read(path, &error);
    if (text == NULL) {
        error_set(&tool->error, "", "%.100s: %.100s", path, error.what);
        return OUTCOME_CONFIGURATION;
    }
    bool is_planned = timetable_read(timetable, text, seed, &planning->times, &error) &&
                      timetable_plan(timetable, &error);
    free(text);
    if (!is_planned) {
        error_set(&tool->error, "", "%.70s: %.20s%s%.140s", path, error.where,
                  error.where[0] != '\0' ? ": " : "", error.what);
    }
    return is_planned ? OUTCOME_DONE : OUTCOME_CONFIGURATION;
}

enum outcome verb_plan(struct tool *tool) {
    struct planning *planning = calloc(1, sizeof *planning);
    if (planning == NULL) {
        error_set(&tool->error, "", "out of memory");
        return OUTCOME_UNWRITTEN;
    }
    enum outcome outcome = read_and_plan(tool, planning);
    if (outcome == OUTCOME_DONE) {
        outcome = write_files(tool, planning);
    }
    if (outcome == OUTCOME_DONE) {
        outcome = report(tool, &planning->timetable);
    }
    free(planning);
    return outcome;
}
