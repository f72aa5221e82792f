#include "tools/drawtender/session/script_words.h"

#include <stddef.h>

const struct script_word_row script_protocol_lines = {
    "SET|GET|WAIT|CHECK|INIT|TERM|RESET ...",
    "sent as it stands; an `ERROR` in reply, a timeout among them, fails the line"};

const struct script_word_row script_words[SCRIPT_WORDS] = {
    [SCRIPT_WORD_INCLUDE] = {"include FILE",
                             "the lines of another file, found beside the one that names it"},
    [SCRIPT_WORD_REPEAT] = {"repeat N", "the lines from here to its `end`, N times"},
    [SCRIPT_WORD_END] = {"end", "ends a repeat"},
    [SCRIPT_WORD_EXPECT_FB] = {"expect TIME BUS FB ADDRESS VALUE LABEL",
                               "the feedback has the value within the time; if not, the label "
                               "says what was expected"},
    [SCRIPT_WORD_EXPECT_GA] = {"expect TIME BUS GA ADDRESS PORT VALUE LABEL",
                               "the same for a port"},
    [SCRIPT_WORD_PAUSE] = {"pause TIME",
                           "waits so long by the model clock, to its next whole second: at six to "
                           "one, `pause 2min` takes 20 s. Real time where no model clock runs"},
    [SCRIPT_WORD_SAY] = {"say WORDS", "shows the words to whoever runs it"},
    [SCRIPT_WORD_FAILURE_STOP] = {"on failure stop",
                                  "from here on, a failed line ends the script and asks the span "
                                  "to stop where it is. So it is without a word"},
    [SCRIPT_WORD_FAILURE_LOWER] = {"on failure lower",
                                   "the same, but asks the span to lower, and ends without waiting "
                                   "for that"},
    [SCRIPT_WORD_FAILURE_GO_ON] = {"on failure go on",
                                   "a failed line is told and the next one follows; the run still "
                                   "ends with exit code 1 or worse. A lost connection ends it all "
                                   "the same"},
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
