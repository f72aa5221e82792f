/* The last step: what was found, as a difference to the configuration; written only after a yes. */
#include "tools/drawtender/base/file_text.h"
#include "tools/drawtender/base/json_edit.h"
#include "tools/drawtender/base/text_diff.h"
#include "tools/drawtender/commission/commission.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Puts one value; false: no such place, or no memory. A NAN is left out. */
static bool put(struct commission *commission, char **text, const char *key, double value,
                const char *format) {
    char pointer[96];
    char written[48];
    char quantity[32];
    if (isnan(value)) {
        return true;
    }
    snprintf(pointer, sizeof pointer, "/bridges/%u/%s", commission->bridge, key);
    /* The formats are the literals below. */
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
    snprintf(quantity, sizeof quantity, format, value);
#pragma GCC diagnostic pop
    snprintf(written, sizeof written, "\"%s\"", quantity);
    char *changed = json_edit_set(*text, pointer, written, &commission->tool->error);
    if (changed != NULL) {
        free(*text);
        *text = changed;
    }
    return changed != NULL;
}

/* Margins on what was measured: efforts a tenth (judgement, no source); times 1.5 (practice: 1.25
 * to 1.5 times the expected time; common practice, no source); stall half as much again as the most
 * a good run takes (judgement, no source). The travel only where it is really another one. */
static bool put_all(struct commission *commission, char **text) {
    const struct commission_values *found = &commission->found;
    const struct net_bridge_setup *net = &commission->config.net.bridge[commission->bridge];
    const struct motion_setup *motion = &net->setup.motion;
    bool is_angle = strcmp(net->travel_unit, "deg") == 0;
    double slowest_s = fmax(found->up_s, found->down_s);
    double off = fabs(found->open - net->travel);
    double travel = off > motion->position_tolerance_frac * net->travel ? found->open : (double)NAN;
    double effort = isnan(found->starting_effort)
                        ? (double)NAN
                        : fmin(110 * found->starting_effort, 100 * motion->effort_full);
    double stall_a = motion->has_current && found->most_a > 0 ? 1.5 * found->most_a : (double)NAN;
    return put(commission, text, "motion/travel limit", 1.5 * slowest_s, "%.1f s") &&
           put(commission, text, "motion/stall current", stall_a, "%.2f A") &&
           put(commission, text, "motion/starting effort", effort, "%.1f %%") &&
           put(commission, text, "lift/travel", travel, is_angle ? "%.1f deg" : "%.0f mm");
}

static enum outcome refuse_unsound(struct commission *commission, const char *text) {
    struct config_report *report = &commission->report;
    if (config_read_text(text, strlen(text), &commission->config, report)) {
        return OUTCOME_DONE;
    }
    const struct error *first = &report->errors.complaint[0];
    error_set(
        &commission->tool->error, first->where,
        "these values would make the configuration invalid, nothing is written: %.100s: %.120s",
        first->where, first->what);
    return OUTCOME_CONFIGURATION;
}

static enum outcome offer(struct commission *commission, const char *text) {
    bool is_yes;
    commission_say(commission, "\nStep 8: changes to the configuration:\n");
    if (text_diff_print(commission->tool->streams.out, commission->text, text) == 0) {
        commission_say(commission, "  nothing to change.\n");
        return OUTCOME_DONE;
    }
    enum outcome outcome = refuse_unsound(commission, text);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    if (!person_yes(&commission->person, "Write it? (yes, no)", &is_yes)) {
        return commission_left(commission);
    }
    if (!is_yes) {
        snprintf(commission->tool->result, sizeof commission->tool->result, "nothing was written");
        return OUTCOME_DONE;
    }
    if (!file_text_replace(commission->file, text, &commission->tool->error)) {
        return OUTCOME_UNWRITTEN;
    }
    snprintf(commission->tool->result, sizeof commission->tool->result,
             "written; restart drawtenderd to use it");
    return OUTCOME_DONE;
}

enum outcome commission_write(struct commission *commission) {
    char *text = strdup(commission->text);
    enum outcome outcome = OUTCOME_UNWRITTEN;
    if (text == NULL) {
        error_set(&commission->tool->error, "", "out of memory");
    } else if (put_all(commission, &text)) {
        outcome = offer(commission, text);
    }
    free(text);
    return outcome;
}
