/* answers.h: what was answered, by question; also as a file, so that one can stop and go on later.
 *
 * The file is text, a line for each answer, "travel: 75 deg"; nothing behind the colon takes the
 * usual answer, "-travel" takes an answer back. Later lines count. It is only ever added to. */
#ifndef TOOLS_DRAWTENDER_ANSWERS_H
#define TOOLS_DRAWTENDER_ANSWERS_H

#include "base/error.h"
#include "tools/drawtender/describe/question.h"

#include <stdbool.h>
#include <stdio.h>

enum { ANSWER_SIZE = 128 };

struct answers {
    bool is_given[QUESTIONS];
    char text[QUESTIONS][ANSWER_SIZE]; /* as written: "" for the usual, "?" for unknown */
};

/* Returns what counts as the answer: as written, else the usual or the assumed one; "?" where that
 * leads to other questions. NULL: none, or the question is not to be asked. */
const char *answers_value(const struct answers *answers, enum question_id id);

/* Returns whether the question is to be asked, as far as is answered by now. */
bool answers_ask(const struct answers *answers, enum question_id id);

/* Returns whether the answer counts as `word`. */
bool answers_is(const struct answers *answers, enum question_id id, const char *word);

/* Returns whether the value is one that nobody has measured: "?" was answered. */
bool answers_is_assumed(const struct answers *answers, enum question_id id);

/* Returns whether the answer counts pieces alike, "3 x 5 kg", which no configuration takes so. */
bool answers_is_several(const struct answers *answers, enum question_id id);

/* Returns the answer as a number in SI units; NAN: none, or a word. */
double answers_number(const struct answers *answers, enum question_id id);

/* Returns whether this may be an answer, by its form alone. False: `error` says what is wanted. */
bool answers_check(enum question_id id, const char *text, struct error *error);

/* Takes an answer that has been checked, or takes it back (NULL). */
void answers_set(struct answers *answers, enum question_id id, const char *text);

/* Reads a file of answers. False: `error` says which line is wrong. */
bool answers_read(const char *path, struct answers *answers, struct error *error);

/* Opens a file of answers to be added to; begins a new one. NULL and `error`: it cannot be written.
 */
FILE *answers_open(const char *path, struct error *error);

/* Adds the answer, or that it is taken back. False: it could not be written. */
bool answers_add(FILE *file, const struct answers *answers, enum question_id id);

#endif
