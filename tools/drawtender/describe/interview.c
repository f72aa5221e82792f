#include "tools/drawtender/describe/interview.h"

#include "base/text/wrapped.h"
#include "config/reader/measure.h"
#include "tools/drawtender/describe/bridge_text.h"
#include "tools/drawtender/describe/lift_drawing.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { PLACE_SIZE = 128, INDENT = 4 };

bool interview_line(struct interview *interview, const char *prompt, char line[ANSWER_SIZE]) {
    fputs(prompt, interview->out);
    fflush(interview->out);
    if (fgets(line, ANSWER_SIZE, interview->in) == NULL) {
        fputc('\n', interview->out);
        return false;
    }
    if (strchr(line, '\n') == NULL) { /* what does not fit belongs to no other question */
        int c;
        while ((c = fgetc(interview->in)) != '\n' && c != EOF) {
        }
    }
    size_t blanks = strspn(line, " \t");
    memmove(line, line + blanks, strlen(line + blanks) + 1);
    size_t length = strlen(line);
    while (length > 0 && strchr(" \t\r\n", line[length - 1]) != NULL) {
        line[--length] = '\0';
    }
    return strcasecmp(line, "q") != 0 && strcasecmp(line, "quit") != 0;
}

/* ---- what is said */

static enum question_id id_of(const struct question *question) {
    return (enum question_id)(question - questions);
}

static void put_form(const struct interview *interview, const struct question *question) {
    FILE *out = interview->out;
    fprintf(out, "%*s(", INDENT, "");
    switch (question->form) {
    case ANSWER_TEXT:
    case ANSWER_NAMES:
        fputs("in words", out);
        break;
    case ANSWER_NUMBERS:
        fputs("whole numbers, parted by blanks", out);
        break;
    case ANSWER_PAIRS:
        fputs("pairs, parted by blanks", out);
        break;
    case ANSWER_FOLDER:
        fputs("a whole path, from / on", out);
        break;
    case ANSWER_CHOICE:
        fputs(question->words, out);
        break;
    case ANSWER_COUNT:
        fputs("a whole number", out);
        break;
    case ANSWER_MEASURE:
        fprintf(out, "%s, such as %s", quantity_name(question->quantity),
                question->example != NULL ? question->example
                                          : quantity_example(question->quantity));
        if (question->words != NULL) {
            fprintf(out, ", or %s", question->words);
        }
        break;
    }
    if (question->usual != NULL && !interview->answers.is_given[id_of(question)]) {
        fprintf(out, "; Enter: %s", question->usual);
    }
    fputs("; ?: I do not know)\n", out);
}

static void put_question(const struct interview *interview, enum question_id id) {
    const struct question *question = &questions[id];
    FILE *out = interview->out;
    if (question->section != NULL) {
        fprintf(out, "\n== %s ==\n", question->section);
    }
    if (id == Q_KIND) {
        lift_drawing_print(out, NULL);
    }
    fputc('\n', out);
    wrapped_text(out, 0, question->ask);
    if (question->why != NULL) {
        wrapped_text(out, INDENT, question->why);
    }
    put_form(interview, question);
}

/* How to find it out, and what is taken until then. */
static void put_help(const struct interview *interview, enum question_id id) {
    const struct question *question = &questions[id];
    char place[PLACE_SIZE];
    snprintf(place, sizeof place, "/bridges/0%s", question->place != NULL ? question->place : "");
    const char *words = question->measure != NULL ? question->measure : measure_for(place);
    wrapped_text(interview->out, INDENT, words != NULL ? words : "Look, or ask its builder.");
    if (question->assumed != NULL) {
        fprintf(interview->out, "%*sUntil you know, \"%s\" is used, and marked as a guess.\n",
                INDENT, "", question->assumed);
    } else if (question->usual != NULL) {
        fprintf(interview->out, "%*sEnter takes \"%s\", the usual.\n", INDENT, "", question->usual);
    } else if (!question->leads) {
        fprintf(interview->out,
                "%*sThis cannot be guessed. q stops here; the same command goes on\n"
                "%*swhere you stopped.\n",
                INDENT, "", INDENT, "");
    }
    if (answers_check(id, "?", NULL)) {
        fprintf(interview->out, "%*sYour answer, or ? again to go on without one.\n", INDENT, "");
    }
}

/* ---- whether the configuration takes it */

static bool has_place(const char *text, const char *place) {
    cJSON *whole = cJSON_Parse(text);
    const cJSON *at = cJSON_GetArrayItem(cJSON_GetObjectItem(whole, "bridges"), 0);
    while (at != NULL && *place == '/') {
        char key[PLACE_SIZE];
        size_t length = strcspn(place + 1, "/");
        snprintf(key, sizeof key, "%.*s", (int)length, place + 1);
        at = cJSON_IsArray(at) ? cJSON_GetArrayItem(at, (int)strtol(key, NULL, 10))
                               : cJSON_GetObjectItemCaseSensitive(at, key);
        place += length + 1;
    }
    bool is_there = at != NULL;
    cJSON_Delete(whole);
    return is_there;
}

/* Limits are those of the reader of configurations, which is asked. What it says of other places is
 * of questions to come. */
static bool fits(struct interview *interview, enum question_id id, struct error *error) {
    const char *place = questions[id].place;
    char *text = place != NULL ? bridge_text(&interview->answers, false) : NULL;
    bool is_fit = true;
    if (text != NULL && has_place(text, place)) {
        char whole[PLACE_SIZE];
        snprintf(whole, sizeof whole, "/bridges/0%s", place);
        config_read_text(text, strlen(text), &interview->config, &interview->report);
        const struct config_list *errors = &interview->report.errors;
        for (size_t i = 0; is_fit && i < config_list_kept(errors); i++) {
            is_fit = strcmp(errors->complaint[i].where, whole) != 0 ||
                     error_set(error, "", "%s", errors->complaint[i].what);
        }
    }
    free(text);
    return is_fit;
}

/* ---- asking */

static bool keep(struct interview *interview, enum question_id id) {
    return interview->kept == NULL || answers_add(interview->kept, &interview->answers, id);
}

/* "y" for "yes", "sec" for "sector": as much of a word as tells it from the others. */
static void complete(enum question_id id, char line[ANSWER_SIZE]) {
    const struct question *question = &questions[id];
    const char *word = question->form == ANSWER_CHOICE && line[0] != '\0' ? question->words : "";
    const char *found = NULL;
    unsigned matches = 0;
    while (*word != '\0') {
        if (strncasecmp(word, line, strlen(line)) == 0) {
            found = word;
            matches++;
        }
        word += strcspn(word, " ");
        word += strspn(word, " ");
    }
    if (matches == 1) {
        snprintf(line, ANSWER_SIZE, "%.*s", (int)strcspn(found, " "), found);
    }
}

/* An answer that the configuration would refuse is taken when it is given twice: the fault may be
 * that of an earlier one. */
static bool take(struct interview *interview, enum question_id id, const char *line,
                 char refused[ANSWER_SIZE]) {
    struct error error;
    if (!answers_check(id, line, &error)) {
        wrapped_text(interview->out, INDENT, error.what);
        return false;
    }
    answers_set(&interview->answers, id, line);
    if (strcmp(line, refused) != 0 && !fits(interview, id, &error)) {
        wrapped_text(interview->out, INDENT, error.what);
        fprintf(interview->out, "%*sRepeat the answer to keep it; < goes back.\n", INDENT, "");
        snprintf(refused, ANSWER_SIZE, "%s", line);
        answers_set(&interview->answers, id, NULL);
        return false;
    }
    return true;
}

enum interview_end interview_ask(struct interview *interview, enum question_id id) {
    char line[ANSWER_SIZE];
    char refused[ANSWER_SIZE] = "\n";
    bool is_helped = false;
    const char *now = answers_value(&interview->answers, id);
    char before[ANSWER_SIZE];
    bool was_given = now != NULL;
    snprintf(before, sizeof before, "%s", interview->answers.text[id]);
    put_question(interview, id);
    if (was_given) {
        fprintf(interview->out, "%*snow: %s; Enter keeps it, < too\n", INDENT, "", now);
    }
    for (;;) {
        if (!interview_line(interview, "> ", line)) {
            return INTERVIEW_LEFT;
        }
        if (strcmp(line, "<") == 0 || strcasecmp(line, "back") == 0) {
            answers_set(&interview->answers, id, was_given ? before : NULL);
            return INTERVIEW_BACK;
        }
        if (line[0] == '\0' && was_given) {
            answers_set(&interview->answers, id, before);
            return INTERVIEW_ANSWERED;
        }
        if (strcmp(line, "?") == 0 && !is_helped) {
            put_help(interview, id);
            is_helped = true;
            continue;
        }
        complete(id, line);
        if (take(interview, id, line, refused)) {
            return keep(interview, id) ? INTERVIEW_ANSWERED : INTERVIEW_LEFT;
        }
    }
}

static enum question_id next_question(const struct interview *interview) {
    unsigned id = 0;
    while (id < Q_WATCH && (interview->answers.is_given[id] ||
                            !answers_ask(&interview->answers, (enum question_id)id))) {
        id++;
    }
    return (enum question_id)id;
}

static void go_back(struct interview *interview) {
    if (interview->count == 0) {
        fprintf(interview->out, "%*sThis is the first question.\n", INDENT, "");
        return;
    }
    enum question_id id = interview->asked[--interview->count];
    answers_set(&interview->answers, id, NULL);
    keep(interview, id);
}

bool interview_all(struct interview *interview) {
    enum question_id id;
    while ((id = next_question(interview)) != Q_WATCH) {
        switch (interview_ask(interview, id)) {
        case INTERVIEW_ANSWERED:
            if (interview->count < QUESTIONS) {
                interview->asked[interview->count++] = id;
            }
            break;
        case INTERVIEW_BACK:
            go_back(interview);
            break;
        case INTERVIEW_LEFT:
            return false;
        }
    }
    return true;
}

bool interview_fill(struct interview *interview, struct error *error) {
    enum question_id id;
    while ((id = next_question(interview)) != Q_WATCH) {
        if (questions[id].usual == NULL) {
            return error_set(error, "", "no answer to '%s': %s", questions[id].name,
                             questions[id].ask);
        }
        answers_set(&interview->answers, id, "");
    }
    return true;
}
