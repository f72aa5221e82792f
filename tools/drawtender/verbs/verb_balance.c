/* verb_balance.c: the balance of a real span, measured. */
#include "config/reader/quantity.h"
#include "mechanics/number.h"
#include "tools/drawtender/sizing/balance.h"
#include "tools/drawtender/verbs/verbs.h"

#include <stdlib.h>
#include <string.h>

static enum outcome usage(struct tool *tool, const char *words) {
    error_set(&tool->error, "", "wanted: balance FILE %s", words);
    return OUTCOME_USAGE;
}

/* Why a bridge has no balance that its motor could tell; NULL if it has one. */
static const char *why_not(const struct config_bridge *bridge) {
    if (!bridge->has_lift) {
        return "a span lifted by hand has no motor to show its balance";
    }
    switch (bridge->lift.kind) {
    case LIFT_VERTICAL:
        return "a vertical lift is balanced on a scale: span, ropes and counterweights; "
               "drawtender reckon says how heavy these must be";
    case LIFT_SWING:
        return "a swing span rests on its pivot: its weight does not turn it";
    case LIFT_SECTOR:
    case LIFT_STRUT:
    case LIFT_ROLLING:
        break;
    }
    return NULL;
}

static enum outcome read_config(struct balance_run *run) {
    struct tool *tool = run->tool;
    const char *file = tool->options->word[0];
    if (!config_read_file(file, &run->config, &run->report)) {
        error_set(&tool->error, "", "%.80s is wrong; drawtenderd --check says where", file);
        return OUTCOME_CONFIGURATION;
    }
    for (unsigned i = 0; i < run->config.net.bridges; i++) {
        if (run->config.net.bridge[i].bus == tool->options->bus) {
            run->bridge = &run->config.bridge[i];
            run->net = &run->config.net.bridge[i];
            run->asked = balance_asked_of(file, run->bridge, i);
        }
    }
    if (run->bridge == NULL) {
        error_set(&tool->error, "", "%.80s has no bridge on bus %u", file, tool->options->bus);
        return OUTCOME_CONFIGURATION;
    }
    const char *why = why_not(run->bridge);
    if (why != NULL) {
        error_set(&tool->error, "", "%s", why);
    }
    return why == NULL ? OUTCOME_DONE : OUTCOME_REFUSED;
}

/* FILE fit SAMPLES [LOADED WEIGHT [OUT UP]] */
static enum outcome read_runs(struct balance_run *run, struct balance_weight *weight) {
    struct tool *tool = run->tool;
    const char *const *word = tool->options->word;
    size_t words = tool->options->words;
    if (words != 3 && words != 5 && words != 7) {
        return usage(tool, "fit SAMPLES [LOADED WEIGHT [FORWARD UP]]");
    }
    if (!samples_read(word[2], false, &run->samples, &tool->error) ||
        (words > 3 && !samples_read(word[3], true, &run->samples, &tool->error))) {
        return OUTCOME_CONFIGURATION;
    }
    weight->at.x_m = run->bridge->sizing.toe_x_m;
    if ((words > 3 && !quantity_read(word[4], QUANTITY_MASS, &weight->mass_kg, &tool->error)) ||
        (words > 5 && (!quantity_read(word[5], QUANTITY_LENGTH, &weight->at.x_m, &tool->error) ||
                       !quantity_read(word[6], QUANTITY_LENGTH, &weight->at.y_m, &tool->error)))) {
        return OUTCOME_USAGE;
    }
    if (words > 3 && !(weight->mass_kg > 0 && number_is_positive(weight->at.x_m))) {
        error_set(&tool->error, "", "the weight must be above zero and hang away from the axis");
        return OUTCOME_USAGE;
    }
    return OUTCOME_DONE;
}

static enum outcome fit(struct balance_run *run) {
    struct tool *tool = run->tool;
    struct balance_weight weight = {.mass_kg = 0};
    struct balance_test test;
    size_t dropped;
    enum outcome outcome = read_runs(run, &weight);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    const char *wrong = balance_fit_run(run, &weight, &test, &dropped);
    if (wrong != NULL) {
        error_set(&tool->error, "", "%s", wrong);
        return OUTCOME_REFUSED;
    }
    tool->has_printed = true;
    (tool->options->is_json ? balance_json_test : balance_text_test)(run, &test, dropped);
    switch (test.sight) {
    case BALANCE_SEEN:
        return OUTCOME_DONE;
    case BALANCE_NOT_SEEN:
        error_set(&tool->error, "", "the drive does not show the balance");
        return OUTCOME_REFUSED;
    case BALANCE_MISFIT:
        error_set(&tool->error, "", "%s", balance_misfit_words(&test));
        return OUTCOME_REFUSED;
    }
    return OUTCOME_REFUSED;
}

static enum outcome choose(struct balance_run *run) {
    struct tool *tool = run->tool;
    const char *const *word = tool->options->word;
    size_t words = tool->options->words;
    if (strcmp(word[1], "record") == 0) {
        return words == 3 ? balance_record(run, word[2]) : usage(tool, "record SAMPLES");
    }
    if (strcmp(word[1], "fit") == 0) {
        return fit(run);
    }
    if (strcmp(word[1], "spring") == 0) {
        return words == 4 ? balance_spring(run, word[2], word[3]) : usage(tool, "spring UP DOWN");
    }
    if (strcmp(word[1], "trend") == 0) {
        return words > 2 ? balance_trend(run, &word[2], words - 2)
                         : usage(tool, "trend SAMPLES...");
    }
    return usage(tool, "record|fit|spring|trend ...");
}

enum outcome verb_balance(struct tool *tool) {
    struct balance_run *run = calloc(1, sizeof *run);
    if (run == NULL) {
        error_set(&tool->error, "", "out of memory");
        return OUTCOME_UNWRITTEN;
    }
    run->tool = tool;
    enum outcome outcome = read_config(run);
    if (outcome == OUTCOME_DONE) {
        outcome = choose(run);
    }
    free(run);
    return outcome;
}
