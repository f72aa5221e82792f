#include "tools/drawtender/session/script_words.h"

#include <stddef.h>

const struct script_word_row script_protocol_lines = {
    "SET|GET|WAIT|CHECK|INIT|TERM|RESET ...",
    "sent as written; an `ERROR` reply, including a timeout, fails the line"};

const struct script_word_row script_words[SCRIPT_WORDS] = {
    [SCRIPT_WORD_INCLUDE] = {"include FILE",
                             "inserts another file, relative to the one that names it"},
    [SCRIPT_WORD_REPEAT] = {"repeat N", "repeats the lines from here to its `end` N times"},
    [SCRIPT_WORD_END] = {"end", "ends a repeat"},
    [SCRIPT_WORD_EXPECT_FB] = {"expect TIME BUS FB ADDRESS VALUE LABEL",
                               "the feedback must take the value within the time; if it does not, "
                               "the label says what was expected"},
    [SCRIPT_WORD_EXPECT_GA] = {"expect TIME BUS GA ADDRESS PORT VALUE LABEL",
                               "the same for a port"},
    [SCRIPT_WORD_PAUSE] =
        {"pause TIME", "waits by the model clock, rounded up to its next whole second: at six to "
                       "one, `pause 2min` takes 20 s. Real time if no model clock is running"},
    [SCRIPT_WORD_SAY] = {"say WORDS", "shows the words to the person running the script"},
    [SCRIPT_WORD_FAILURE_STOP] = {"on failure stop",
                                  "from here on, a failed line ends the script and asks the span "
                                  "to stop where it is. This is the default"},
    [SCRIPT_WORD_FAILURE_LOWER] =
        {"on failure lower",
         "the same, but asks the span to lower, and ends without waiting for it"},
    [SCRIPT_WORD_FAILURE_GO_ON] =
        {"on failure go on", "a failed line is reported and the script continues; the run still "
                             "ends with exit code 1 or higher. A lost connection always ends it"},
};

static void print_row(const struct script_word_row *row, FILE *out) {
    fputs("| `", out);
    for (const char *c = row->form; *c != '\0'; c++) {
        fprintf(out, *c == '|' ? "\\|" : "%c", *c);
    }
    fprintf(out, "` | %s |\n", row->what);
}

void script_words_print_markdown(FILE *out) {
    fputs("| line | what it does |\n| --- | --- |\n", out);
    print_row(&script_protocol_lines, out);
    for (size_t i = 0; i < SCRIPT_WORDS; i++) {
        print_row(&script_words[i], out);
    }
}
