/* script_words.h: the lines of a session script, for people: the table of tools/sessions.md and the
 * manual page drawtender-session(5) are made from it. */
#ifndef TOOLS_DRAWTENDER_SCRIPT_WORDS_H
#define TOOLS_DRAWTENDER_SCRIPT_WORDS_H

#include <stdio.h>

enum script_word {
    SCRIPT_WORD_INCLUDE = 0,
    SCRIPT_WORD_REPEAT,
    SCRIPT_WORD_END,
    SCRIPT_WORD_EXPECT_FB,
    SCRIPT_WORD_EXPECT_GA,
    SCRIPT_WORD_PAUSE,
    SCRIPT_WORD_SAY,
    SCRIPT_WORD_FAILURE_STOP,
    SCRIPT_WORD_FAILURE_LOWER,
    SCRIPT_WORD_FAILURE_GO_ON,
    SCRIPT_WORDS
};

struct script_word_row {
    const char *form; /* capitals: to be filled in */
    const char *what; /* what the line does: sentences without the last full stop */
};

/* By the numbers of enum script_word; the lines of the protocol itself are beside them. */
extern const struct script_word_row script_words[SCRIPT_WORDS];

/* The lines of the protocol, as a row of the same kind. */
extern const struct script_word_row script_protocol_lines;

/* For tests, which hold tools/sessions.md to it: prints all as a table of Markdown. */
void script_words_print_markdown(FILE *out);

#endif
