/* verb_reckon.c: the sizing report of a configuration file. Needs no daemon, and moves nothing. */
#include "config/config.h"
#include "plots/sizing_plots.h"
#include "plots/sizing_spread.h"
#include "tools/drawtender/base/file_text.h"
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/sizing/sizing_json.h"
#include "tools/drawtender/sizing/sizing_text.h"
#include "tools/drawtender/verbs/verbs.h"

#include <stdlib.h>
#include <string.h>

/* All that is too large for the stack. */
struct reckoning {
    const char *file;
    struct config config;
    struct config_report complaints;
    struct sizing_report report[NET_BRIDGES_MAX];
    struct config_moves *moves;
};

static unsigned count_bad(const struct reckoning *reckoning) {
    unsigned bad = 0;
    for (unsigned i = 0; i < reckoning->config.net.bridges; i++) {
        const struct verdicts *verdicts = &reckoning->report[i].verdicts;
        for (unsigned v = 0; v < verdicts->count; v++) {
            bad += verdicts->verdict[v].state == VERDICT_BAD;
        }
        bad += findings_bad(&reckoning->report[i].findings);
    }
    return bad;
}

static void print_text(FILE *out, const struct reckoning *reckoning) {
    sizing_text_head(out, reckoning->file);
    sizing_text_complaints(out, "Wrong", &reckoning->complaints.errors);
    sizing_text_complaints(out, "Doubtful", &reckoning->complaints.warnings);
    for (unsigned i = 0; i < reckoning->config.net.bridges; i++) {
        sizing_text_bridge(out, &reckoning->report[i]);
    }
}

static void print_json(FILE *out, const struct reckoning *reckoning) {
    cJSON *object = cJSON_CreateObject();
    cJSON_AddStringToObject(object, "file", reckoning->file);
    cJSON_AddItemToObject(object, "caution", sizing_json_caution());
    cJSON_AddItemToObject(object, "wrong", sizing_json_complaints(&reckoning->complaints.errors));
    cJSON_AddItemToObject(object, "doubtful",
                          sizing_json_complaints(&reckoning->complaints.warnings));
    cJSON *bridges = cJSON_AddArrayToObject(object, "bridges");
    for (unsigned i = 0; i < reckoning->config.net.bridges; i++) {
        cJSON_AddItemToArray(bridges, sizing_json_bridge(&reckoning->report[i]));
    }
    json_print(out, object);
}

static enum outcome write_plots(struct tool *tool, const struct reckoning *reckoning) {
    const char *folder = tool->options->plots;
    for (unsigned i = 0; folder != NULL && i < reckoning->config.net.bridges; i++) {
        if (reckoning->report[i].given->missing == 0 &&
            !sizing_plots_write(&reckoning->report[i], folder, &tool->error)) {
            return OUTCOME_UNWRITTEN;
        }
    }
    return OUTCOME_DONE;
}

/* From one reading of the file, so that what is moved is what was reckoned. */
static bool reckon_all(struct reckoning *reckoning, struct error *error) {
    struct config *config = &reckoning->config;
    char *text = file_text_read(reckoning->file, error);
    if (text == NULL) { /* says why, as every reader of a configuration does */
        config_read_file(reckoning->file, config, &reckoning->complaints);
        return true;
    }
    config_read_text(text, strlen(text), config, &reckoning->complaints);
    for (unsigned i = 0; i < config->net.bridges; i++) {
        sizing_report_of(config, i, &reckoning->report[i]);
    }
    reckoning->moves = config_moves_begin(text, strlen(text));
    bool is_done = reckoning->moves != NULL &&
                   sizing_spread(reckoning->moves, config->net.bridges, reckoning->report);
    free(text);
    return is_done || error_set(error, "", "out of memory");
}

static enum outcome reckon(struct tool *tool, struct reckoning *reckoning) {
    const struct config_report *complaints = &reckoning->complaints;
    if (!reckon_all(reckoning, &tool->error)) {
        return OUTCOME_UNWRITTEN;
    }
    tool->has_printed = true;
    if (tool->options->is_json) {
        print_json(tool->streams.out, reckoning);
    } else if (!tool->options->is_quiet) {
        print_text(tool->streams.out, reckoning);
    }
    enum outcome outcome = write_plots(tool, reckoning);
    unsigned bad = count_bad(reckoning);
    size_t wrong = complaints->errors.count - complaints->misfits - complaints->missing;
    if (outcome == OUTCOME_DONE && wrong + complaints->missing > 0) {
        bool has_sums = wrong == 0 && reckoning->config.net.bridges > 0;
        error_set(&tool->error, "",
                  has_sums ? "the configuration lacks %zu values; what it has is reckoned"
                           : "the configuration is wrong in %zu places",
                  has_sums ? complaints->missing : complaints->errors.count);
        return OUTCOME_CONFIGURATION;
    }
    if (outcome == OUTCOME_DONE && (bad > 0 || complaints->misfits > 0)) {
        error_set(&tool->error, "", "bad verdicts: %u; reasons for the daemon to refuse it: %zu",
                  bad, complaints->misfits);
        return OUTCOME_REFUSED;
    }
    return outcome;
}

enum outcome verb_reckon(struct tool *tool) {
    struct reckoning *reckoning = calloc(1, sizeof *reckoning);
    if (reckoning == NULL) {
        error_set(&tool->error, "", "out of memory");
        return OUTCOME_UNWRITTEN;
    }
    reckoning->file = tool->options->word[0];
    enum outcome outcome = reckon(tool, reckoning);
    config_moves_end(reckoning->moves);
    free(reckoning);
    return outcome;
}
