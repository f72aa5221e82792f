/* verb_measure.c: configuration values from a tape measure, a kitchen scale and a meter. Moves
 * nothing, and asks no daemon. */
#include "config/config.h"
#include "mechanics/doubt.h"
#include "mechanics/number.h"
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/sizing/measure_topics.h"
#include "tools/drawtender/verbs/verbs.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct measure_topic *find(const char *name) {
    const struct measure_topic *topic;
    for (size_t i = 0; (topic = measure_topic(i)) != NULL; i++) {
        if (strcmp(topic->name, name) == 0) {
            return topic;
        }
    }
    return NULL;
}

static void print_procedure(FILE *out, const struct measure_topic *topic) {
    fprintf(out, "drawtender measure %s%s NAME=VALUE...: %s\n\n", topic->name,
            topic->wants_bridge ? " FILE" : "", topic->what);
    for (size_t i = 0; topic->procedure[i] != NULL; i++) {
        fprintf(out, "%zu. %s\n", i + 1, topic->procedure[i]);
    }
    fprintf(out, "\n");
    for (const struct measure_reading *reading = topic->reading; reading->name != NULL; reading++) {
        fprintf(out, "  %-14s %-12s %s%s\n", reading->name, reading->example, reading->help,
                reading->is_required       ? ""
                : reading->help[0] != '\0' ? "; may be left out"
                                           : "");
    }
    fprintf(out, "\nKeep fingers clear of the span and its counterweight: block both before you "
                 "unpin the drive.\n");
}

/* The readings, and how far each may be off. */
struct readings {
    double value[MEASURE_READINGS_MAX];
    double spread[MEASURE_READINGS_MAX];
};

/* A force, or a mass for its weight. */
static bool read_value(const struct measure_reading *reading, const char *text, double *value,
                       double *spread, struct error *error) {
    struct error as_mass;
    if (reading->is_weight && quantity_read_spread(text, QUANTITY_MASS, value, spread, &as_mass)) {
        *value *= NUMBER_GRAVITY_M_S2;
        *spread *= NUMBER_GRAVITY_M_S2;
        return true;
    }
    return quantity_read_spread(text, reading->quantity, value, spread, error);
}

static bool read_word(const struct measure_topic *topic, const char *word,
                      struct readings *readings, struct error *error) {
    size_t length = strcspn(word, "=");
    for (size_t i = 0; topic->reading[i].name != NULL && word[length] == '='; i++) {
        const struct measure_reading *reading = &topic->reading[i];
        if (strlen(reading->name) == length && strncmp(reading->name, word, length) == 0) {
            return read_value(reading, word + length + 1, &readings->value[i], &readings->spread[i],
                              error);
        }
    }
    return error_set(error, "",
                     "\"%.40s\" is not a reading of %s; drawtender measure %s lists them", word,
                     topic->name, topic->name);
}

static bool read_words(struct tool *tool, const struct measure_topic *topic, size_t first,
                       struct readings *readings) {
    for (size_t i = 0; i < MEASURE_READINGS_MAX; i++) {
        readings->value[i] = NAN;
        readings->spread[i] = 0;
    }
    for (size_t i = first; i < tool->options->words; i++) {
        if (!read_word(topic, tool->options->word[i], readings, &tool->error)) {
            return false;
        }
    }
    for (size_t i = 0; topic->reading[i].name != NULL; i++) {
        if (topic->reading[i].is_required && isnan(readings->value[i])) {
            return error_set(&tool->error, "", "%s=... is missing", topic->reading[i].name);
        }
    }
    return true;
}

static void print_text(FILE *out, const struct measure_results *results) {
    for (unsigned i = 0; i < results->count; i++) {
        const struct measure_result *result = &results->result[i];
        fprintf(out, "%-50s %10.4g%s%s", result->what, result->value,
                result->unit[0] != '\0' ? " " : "", result->unit);
        if (result->spread > 0) {
            fprintf(out, " +- %.2g%s%s", result->spread, result->unit[0] != '\0' ? " " : "",
                    result->unit);
        }
        fputc('\n', out);
    }
    if (results->snippet[0] != '\0') {
        fprintf(out, "\nIn the configuration: %s\n", results->snippet);
    }
    if (results->note != NULL) {
        fprintf(out, "Mind: %s.\n", results->note);
    }
}

static void print_json(FILE *out, const struct measure_results *results) {
    cJSON *object = cJSON_CreateObject();
    for (unsigned i = 0; i < results->count; i++) {
        cJSON_AddNumberToObject(object, results->result[i].key, results->result[i].value);
    }
    cJSON *spreads = cJSON_AddObjectToObject(object, "spread");
    for (unsigned i = 0; i < results->count; i++) {
        if (results->result[i].spread > 0) {
            cJSON_AddNumberToObject(spreads, results->result[i].key, results->result[i].spread);
        }
    }
    cJSON_AddStringToObject(object, "configuration", results->snippet);
    cJSON_AddStringToObject(object, "note", results->note != NULL ? results->note : "");
    json_print(out, object);
}

static double result_of(const struct measure_results *results, const char *key) {
    for (unsigned i = 0; i < results->count; i++) {
        if (strcmp(results->result[i].key, key) == 0) {
            return results->result[i].value;
        }
    }
    return NAN;
}

/* Each reading moved either way, as a configuration's values are for its verdicts. */
static void find_spreads(const struct measure_topic *topic, const struct config_bridge *bridge,
                         const struct readings *readings, struct measure_results *results) {
    struct doubt doubt[MEASURE_RESULTS_MAX] = {{.cause = 0}};
    for (unsigned i = 0; topic->reading[i].name != NULL; i++) {
        struct measure_results moved[2] = {{.count = 0}, {.count = 0}};
        for (int side = 0; side < 2 && readings->spread[i] > 0; side++) {
            struct readings other = *readings;
            other.value[i] += (side == 0 ? -1 : 1) * readings->spread[i];
            if (topic->run(bridge, other.value, &moved[side]) != NULL) {
                moved[side].count = 0;
            }
        }
        for (unsigned r = 0; r < results->count && readings->spread[i] > 0; r++) {
            const struct measure_result *result = &results->result[r];
            doubt_add(&doubt[r], result->value, result_of(&moved[0], result->key),
                      result_of(&moved[1], result->key), i + 1);
        }
    }
    for (unsigned r = 0; r < results->count; r++) {
        results->result[r].spread = doubt_wider(&doubt[r]);
    }
}

static enum outcome work_out(struct tool *tool, const struct measure_topic *topic,
                             const struct config_bridge *bridge, size_t first) {
    struct readings readings;
    struct measure_results results = {.count = 0};
    if (!read_words(tool, topic, first, &readings)) {
        return OUTCOME_USAGE;
    }
    const char *wrong = topic->run(bridge, readings.value, &results);
    if (wrong != NULL) {
        error_set(&tool->error, "", "%s", wrong);
        return OUTCOME_REFUSED;
    }
    find_spreads(topic, bridge, &readings, &results);
    tool->has_printed = true;
    (tool->options->is_json ? print_json : print_text)(tool->streams.out, &results);
    return OUTCOME_DONE;
}

/* The bridge of --bus in the file that is the second word. */
static enum outcome with_file(struct tool *tool, const struct measure_topic *topic) {
    struct config *config = calloc(1, sizeof *config);
    struct config_report *report = calloc(1, sizeof *report);
    enum outcome outcome = OUTCOME_CONFIGURATION;
    const char *file = tool->options->word[1];
    if (config == NULL || report == NULL) {
        error_set(&tool->error, "", "out of memory");
        outcome = OUTCOME_UNWRITTEN;
    } else if (!config_read_file(file, config, report)) {
        error_set(&tool->error, "", "%.80s is wrong; drawtenderd --check says where", file);
    } else {
        error_set(&tool->error, "", "%.80s has no powered bridge on bus %u", file,
                  tool->options->bus);
        for (unsigned i = 0; i < config->net.bridges; i++) {
            if (config->net.bridge[i].bus == tool->options->bus && config->bridge[i].has_lift) {
                outcome = work_out(tool, topic, &config->bridge[i], 2);
            }
        }
    }
    free(report);
    free(config);
    return outcome;
}

enum outcome verb_measure(struct tool *tool) {
    const struct measure_topic *topic = find(tool->options->word[0]);
    if (topic == NULL) {
        error_set(&tool->error, "", "wanted: measure leaf|motor|ratio|friction");
        return OUTCOME_USAGE;
    }
    if (tool->options->words == 1) {
        tool->has_printed = true;
        print_procedure(tool->streams.out, topic);
        return OUTCOME_DONE;
    }
    return topic->wants_bridge ? with_file(tool, topic) : work_out(tool, topic, NULL, 1);
}
