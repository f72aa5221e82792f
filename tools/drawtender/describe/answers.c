#include "tools/drawtender/describe/answers.h"

#include "tools/drawtender/base/file_text.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char heading[] =
    "# answers of drawtender describe; if a name appears twice, the last line counts\n";

/* ---- what counts */

static const char *value_of(const struct answers *answers, enum question_id id) {
    const struct question *question = &questions[id];
    const char *text = answers->text[id];
    if (!answers->is_given[id]) {
        return NULL;
    }
    if (text[0] == '\0') {
        return question->usual;
    }
    if (strcmp(text, "?") == 0 && !question->leads) {
        return question->assumed;
    }
    return text;
}

/* A question that was not to be asked has no answer that counts, whatever was said before. */
bool answers_ask(const struct answers *answers, enum question_id id) {
    for (unsigned i = 0; i < QUESTION_CONDITIONS && questions[id].only_if[i].answers != NULL; i++) {
        enum question_id other = questions[id].only_if[i].id;
        const char *wanted = questions[id].only_if[i].answers;
        const char *value = answers_value(answers, other);
        bool is_not = wanted[0] == '!';
        if (value == NULL || question_has_word(wanted + is_not, value) == is_not) {
            return false;
        }
    }
    return true;
}

const char *answers_value(const struct answers *answers, enum question_id id) {
    return answers_ask(answers, id) ? value_of(answers, id) : NULL;
}

bool answers_is(const struct answers *answers, enum question_id id, const char *word) {
    const char *value = answers_value(answers, id);
    return value != NULL && strcmp(value, word) == 0;
}

bool answers_is_assumed(const struct answers *answers, enum question_id id) {
    return answers_value(answers, id) != NULL && strcmp(answers->text[id], "?") == 0 &&
           !questions[id].leads;
}

static bool is_whole(const char *text, double *number) {
    char *end;
    errno = 0;
    long value = strtol(text, &end, 10);
    *number = (double)value;
    return end != text && *end == '\0' && errno == 0 && value >= 0;
}

/* Of masses several alike, too: "3 x 5 kg". How far it may be off stays in the text. */
static bool read_measure(const char *text, enum quantity quantity, double *number,
                         struct error *error) {
    unsigned count;
    int length = 0;
    bool is_several = quantity == QUANTITY_MASS && sscanf(text, "%3u x %n", &count, &length) == 1 &&
                      length > 0 && count > 0;
    double spread;
    bool is_read =
        quantity_read_spread(is_several ? text + length : text, quantity, number, &spread, error);
    *number *= is_several && is_read ? count : 1;
    return is_read;
}

bool answers_is_several(const struct answers *answers, enum question_id id) {
    const char *value = answers_value(answers, id);
    return questions[id].form == ANSWER_MEASURE && value != NULL && strstr(value, " x ") != NULL;
}

double answers_number(const struct answers *answers, enum question_id id) {
    const char *value = answers_value(answers, id);
    double number = NAN;
    bool is_read =
        value != NULL && (questions[id].form == ANSWER_COUNT
                              ? is_whole(value, &number)
                              : read_measure(value, questions[id].quantity, &number, NULL));
    return is_read ? number : NAN;
}

/* ---- what may be answered */

/* Of each word. */
static bool check_number(const char *word, struct error *error) {
    double number;
    return (is_whole(word, &number) && number < 1024) ||
           error_set(error, "", "'%.40s' is not the number of a line", word);
}

static bool check_pair(const char *word, struct error *error) {
    unsigned driver, driven;
    int length = 0;
    bool is_pair = sscanf(word, "%4u/%4u%n", &driver, &driven, &length) == 2 &&
                   word[length] == '\0' && driver > 0 && driven > 0;
    return is_pair || error_set(error, "", "'%.40s' is not a pair of teeth, such as 12/48", word);
}

static bool check_words(const char *text, bool (*check)(const char *, struct error *),
                        struct error *error) {
    char copy[ANSWER_SIZE];
    char *rest = NULL;
    bool is_right = true;
    snprintf(copy, sizeof copy, "%s", text);
    for (char *word = strtok_r(copy, " ,", &rest); is_right && word != NULL;
         word = strtok_r(NULL, " ,", &rest)) {
        is_right = check(word, error);
    }
    return is_right;
}

bool answers_check(enum question_id id, const char *text, struct error *error) {
    const struct question *question = &questions[id];
    double number;
    if (strcmp(text, "?") == 0 && question->usual != NULL && question->assumed == NULL) {
        return question->leads ||
               error_set(error, "", "nothing is guessed for this: Enter takes the usual, %.40s",
                         question->usual);
    }
    if (strcmp(text, "?") == 0) {
        return question->assumed != NULL || question->leads ||
               error_set(error, "", "this cannot be guessed: it must be measured");
    }
    if (text[0] == '\0') {
        return question->usual != NULL || error_set(error, "", "this question has no default");
    }
    switch (question->form) {
    case ANSWER_TEXT:
    case ANSWER_NAMES:
        return true;
    case ANSWER_NUMBERS:
        return check_words(text, check_number, error);
    case ANSWER_PAIRS:
        return check_words(text, check_pair, error);
    case ANSWER_FOLDER:
        return text[0] == '/' ||
               error_set(error, "", "'%.40s' is not a folder's whole path, which begins with a /",
                         text);
    case ANSWER_CHOICE:
        return question_has_word(question->words, text) ||
               error_set(error, "", "'%.40s' is not one of: %s", text, question->words);
    case ANSWER_COUNT:
        return is_whole(text, &number) ||
               error_set(error, "", "'%.40s' is not a whole number", text);
    case ANSWER_MEASURE:
        return question_has_word(question->words, text) ||
               read_measure(text, question->quantity, &number, error);
    }
    return false;
}

void answers_set(struct answers *answers, enum question_id id, const char *text) {
    answers->is_given[id] = text != NULL;
    snprintf(answers->text[id], ANSWER_SIZE, "%s", text != NULL ? text : "");
}

/* ---- the file */

/* Without blanks around it. */
static char *trimmed(char *text) {
    text += strspn(text, " \t");
    size_t length = strlen(text);
    while (length > 0 && strchr(" \t\r", text[length - 1]) != NULL) {
        text[--length] = '\0';
    }
    return text;
}

static bool take_line(char *line, struct answers *answers, struct error *error) {
    line = trimmed(line);
    if (line[0] == '\0' || line[0] == '#') {
        return true;
    }
    bool is_back = line[0] == '-';
    char *colon = strchr(line, ':');
    if (colon == NULL && !is_back) {
        return error_set(error, "", "'%.40s' is not an answer; wanted: NAME: ANSWER", line);
    }
    if (colon != NULL) {
        *colon = '\0';
    }
    enum question_id id = question_find(trimmed(line + is_back));
    if (id == QUESTIONS) {
        return error_set(error, "", "no question is called '%.40s'", trimmed(line + is_back));
    }
    const char *text = colon != NULL && !is_back ? trimmed(colon + 1) : "";
    if (strlen(text) >= ANSWER_SIZE) {
        return error_set(error, "", "an answer of more than %d bytes", ANSWER_SIZE - 1);
    }
    if (!is_back && !answers_check(id, text, error)) {
        return false;
    }
    answers_set(answers, id, is_back ? NULL : text);
    return true;
}

bool answers_read(const char *path, struct answers *answers, struct error *error) {
    char *text = file_text_read(path, error);
    bool is_right = text != NULL;
    unsigned number = 0;
    if (!is_right && error != NULL) {
        struct error missing = *error;
        error_set(error, "", "%.90s: %.140s", path, missing.what);
    }
    for (char *line = text; is_right && line != NULL;) {
        char *end = strchr(line, '\n');
        if (end != NULL) {
            *end = '\0';
        }
        number++;
        struct error why;
        if (!take_line(line, answers, &why)) {
            is_right = error_set(error, "", "%.90s: line %u: %.140s", path, number, why.what);
        }
        line = end != NULL ? end + 1 : NULL;
    }
    free(text);
    return is_right;
}

FILE *answers_open(const char *path, struct error *error) {
    FILE *file = fopen(path, "a");
    if (file == NULL) {
        error_set(error, path, "%s", strerror(errno));
        return NULL;
    }
    if (ftell(file) == 0) {
        fputs(heading, file);
    }
    return file;
}

bool answers_add(FILE *file, const struct answers *answers, enum question_id id) {
    const char *name = questions[id].name;
    if (answers->is_given[id]) {
        fprintf(file, "%s: %s\n", name, answers->text[id]);
    } else {
        fprintf(file, "-%s\n", name);
    }
    return fflush(file) == 0;
}
