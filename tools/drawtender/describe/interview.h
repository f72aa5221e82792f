/* interview.h: asks the questions one by one, takes answers as people write them, goes back, and
 * keeps each answer at once, so that one can stop at any time. */
#ifndef TOOLS_DRAWTENDER_INTERVIEW_H
#define TOOLS_DRAWTENDER_INTERVIEW_H

#include "config/config.h"
#include "tools/drawtender/describe/answers.h"

#include <stdbool.h>
#include <stdio.h>

enum interview_end { INTERVIEW_ANSWERED, INTERVIEW_BACK, INTERVIEW_LEFT };

struct interview {
    FILE *in, *out;
    FILE *kept; /* file of answers to add to; NULL: none */
    struct answers answers;
    enum question_id asked[QUESTIONS]; /* in this order, to go back by */
    unsigned count;
    struct config config; /* of the answers so far, to try each by */
    struct config_report report;
};

/* Reads a line, without its end and the blanks around it. Returns false at the end of the input, or
 * for "q". */
bool interview_line(struct interview *interview, const char *prompt, char line[ANSWER_SIZE]);

/* Asks one question until it has an answer. */
enum interview_end interview_ask(struct interview *interview, enum question_id id);

/* Asks all that is to be asked and has no answer yet. Returns false for somebody who has left. */
bool interview_all(struct interview *interview);

/* Takes the usual answer where there is none. False: `error` names a question that wants one. */
bool interview_fill(struct interview *interview, struct error *error);

#endif
