#include "tools/drawtender/describe/judgement.h"

#include "base/text/wrapped.h"
#include "plots/sizing_spread.h"
#include "tools/drawtender/describe/bridge_text.h"
#include "tools/drawtender/describe/review/concerned.h"
#include "tools/drawtender/sizing/findings_text.h"
#include "tools/drawtender/sizing/sizing_text.h"

#include <stdlib.h>
#include <string.h>

/* What nobody has measured, each with its question's name, by which it can be changed. */
static void put_guesses(FILE *out, const struct answers *answers) {
    unsigned guesses = 0;
    for (unsigned i = 0; i < QUESTIONS; i++) {
        enum question_id id = (enum question_id)i;
        if (answers_is_assumed(answers, id) && id != Q_WORM_DIAMETER) {
            fputs(guesses++ == 0 ? "\nGuesses: measure these before you rely on them\n" : "", out);
            fprintf(out, "  %-18s %s\n", questions[id].name, answers_value(answers, id));
        }
    }
    static const struct {
        enum question_id id;
        const char *answer, *words;
    } rough[] = {{Q_PULL_UP, "?", "friction, from the shaft, +- 100 %: on the high side"},
                 {Q_LIFT_UP, "?", "friction, 4 % of the weight, +- 100 %: a judgement"},
                 {Q_PUSH, "?", "friction, from a dry pivot of 20 mm, +- 100 %: on the high side"},
                 {Q_WORM_DIAMETER, "steep",
                  "lead angle, of the thinnest usual worm: holds worse than "
                  "most"},
                 {Q_LOCK_PWM, "/",
                  "servo pulses, 1.8 ms driven and 1.2 ms withdrawn: set them by "
                  "eye, in the file"}};
    for (size_t i = 0; i < sizeof rough / sizeof rough[0]; i++) {
        const char *value = answers_value(answers, rough[i].id);
        if (value != NULL && strncmp(value, rough[i].answer, strlen(rough[i].answer)) == 0) {
            fputs(guesses++ == 0 ? "\nGuesses: measure these before you rely on them\n" : "", out);
            fprintf(out, "  %-18s %s\n", questions[rough[i].id].name, rough[i].words);
        }
    }
}

static void put_concerned(FILE *out, const struct answers *answers, const char *where) {
    bool is_concerned[QUESTIONS];
    char words[1024] = "answers concerned: ";
    size_t length = strlen(words);
    const char *before = "";
    concerned_by(answers, where, is_concerned);
    for (unsigned id = 0; id < QUESTIONS && length < sizeof words; id++) {
        if (is_concerned[id]) {
            length += (size_t)snprintf(words + length, sizeof words - length, "%s%s", before,
                                       questions[id].name);
            before = ", ";
        }
    }
    if (before[0] != '\0') {
        wrapped_text(out, 4, words);
    }
}

/* By their answers: the file that has these places is not written yet. */
static void put_complaints(const struct interview *interview, const char *title,
                           const struct config_list *list) {
    FILE *out = interview->out;
    if (list->count > 0) {
        fprintf(out, "\n%s\n", title);
    }
    for (size_t i = 0; i < config_list_kept(list); i++) {
        const struct error *complaint = &list->complaint[i];
        fprintf(out, "  %s:\n", complaint->where);
        wrapped_text(out, 4, complaint->what);
        put_concerned(out, &interview->answers, complaint->where);
    }
    if (config_list_kept(list) < list->count) {
        fprintf(out, "  and %zu more\n", list->count - config_list_kept(list));
    }
}

/* Returns whether the daemon would take them; `text` is the caller's to free, or NULL. */
static bool read_answers(struct interview *interview, char **text) {
    *text = bridge_text(&interview->answers, false);
    return *text != NULL &&
           config_read_text(*text, strlen(*text), &interview->config, &interview->report);
}

/* Ramps and creep take their part of it; the double is another opening than the one asked for. */
static void put_opening_time(const struct interview *interview, double takes_s) {
    double asked_s = answers_number(&interview->answers, Q_OPENING_TIME);
    if (takes_s > 2 * asked_s || takes_s < asked_s / 2) {
        fprintf(
            interview->out,
            "\n%s: an opening takes %.0f s, but you asked for about %.0f s (opening time). Look "
            "at\n  gearbox, worm ratio, pinion teeth and the motor's speed; or ask for another "
            "time.\n",
            takes_s > asked_s ? "BAD" : "Doubtful", takes_s, asked_s);
    }
}

static void put_verdicts(const struct interview *interview, const char *text) {
    struct sizing_report *report = calloc(1, sizeof *report);
    struct config_moves *moves = config_moves_begin(text, strlen(text));
    if (report != NULL && moves != NULL && interview->config.net.bridges > 0) {
        sizing_report_of(&interview->config, 0, report);
        sizing_spread(moves, 1, report);
        sizing_text_verdicts(interview->out, report);
        findings_text_doubts(interview->out, report);
        put_opening_time(interview, report->sizing.up.duration_s);
    }
    config_moves_end(moves);
    free(report);
}

/* What is wrong stands last, where the next question is. */
bool judgement_print(struct interview *interview, bool is_brief) {
    char *text;
    bool is_usable = read_answers(interview, &text);
    if (!is_brief && text != NULL) {
        put_complaints(interview, "Doubtful", &interview->report.warnings);
        put_verdicts(interview, text);
        put_guesses(interview->out, &interview->answers);
    }
    put_complaints(interview, "Wrong", &interview->report.errors);
    free(text);
    return is_usable;
}
