#include "tools/drawtender/describe/judgement.h"

#include "base/text/wrapped.h"
#include "plots/sizing_spread.h"
#include "tools/drawtender/describe/bridge_text.h"
#include "tools/drawtender/sizing/findings_text.h"
#include "tools/drawtender/sizing/sizing_text.h"

#include <stdlib.h>
#include <string.h>

/* What nobody has measured, each with its question's name, by which it can be changed. */
static void put_guesses(FILE *out, const struct answers *answers) {
    unsigned guesses = 0;
    for (unsigned i = 0; i < QUESTIONS; i++) {
        enum question_id id = (enum question_id)i;
        if (answers_is_assumed(answers, id)) {
            fputs(guesses++ == 0 ? "\nGuesses: measure these before you rely on them\n" : "", out);
            fprintf(out, "  %-18s %s\n", questions[id].name, answers_value(answers, id));
        }
    }
    static const struct {
        enum question_id id;
        const char *words;
    } rough[] = {{Q_PULL_UP, "friction, from the shaft: on the high side"},
                 {Q_LIFT_UP, "friction, 4 % of the weight: a judgement"},
                 {Q_PUSH, "friction, from a dry pivot of 20 mm: on the high side"}};
    for (size_t i = 0; i < sizeof rough / sizeof rough[0]; i++) {
        if (answers_is(answers, rough[i].id, "?")) {
            fputs(guesses++ == 0 ? "\nGuesses: measure these before you rely on them\n" : "", out);
            fprintf(out, "  %-18s %s\n", questions[rough[i].id].name, rough[i].words);
        }
    }
}

/* Names of the questions by which what is wrong can be mended. */
static void put_remedies(FILE *out, const struct interview *interview) {
    const struct config_list *errors = &interview->report.errors;
    bool has_any = false;
    for (unsigned id = 0; id < QUESTIONS; id++) {
        const char *place = questions[id].place;
        bool is_named = false;
        for (size_t i = 0; place != NULL && !is_named && i < config_list_kept(errors); i++) {
            const char *where = errors->complaint[i].where;
            is_named = strncmp(where, "/bridges/0", 10) == 0 && strcmp(where + 10, place) == 0 &&
                       answers_ask(&interview->answers, (enum question_id)id);
        }
        if (is_named) {
            fprintf(out, "%s%s", has_any ? ", " : "\nAnswers to look at: ", questions[id].name);
            has_any = true;
        }
    }
    fputs(has_any ? "\n" : "", out);
}

static void put_verdicts(const struct interview *interview, const char *text) {
    struct sizing_report *report = calloc(1, sizeof *report);
    struct config_moves *moves = config_moves_begin(text, strlen(text));
    if (report != NULL && moves != NULL && interview->config.net.bridges > 0) {
        sizing_report_of(&interview->config, 0, report);
        sizing_spread(moves, 1, report);
        sizing_text_verdicts(interview->out, report);
        findings_text_doubts(interview->out, report);
    }
    config_moves_end(moves);
    free(report);
}

bool judgement_print(struct interview *interview, bool is_brief) {
    FILE *out = interview->out;
    char *text = bridge_text(&interview->answers, false);
    bool is_usable = text != NULL &&
                     config_read_text(text, strlen(text), &interview->config, &interview->report);
    sizing_text_complaints(out, "Wrong", &interview->report.errors);
    if (!is_usable) {
        put_remedies(out, interview);
    }
    if (!is_brief && text != NULL) {
        sizing_text_complaints(out, "Doubtful", &interview->report.warnings);
        put_verdicts(interview, text);
        put_guesses(out, &interview->answers);
    }
    free(text);
    return is_usable;
}
