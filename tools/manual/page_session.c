/* drawtender-session(5). */
#include "tools/drawtender/session/script.h"
#include "tools/drawtender/session/script_line.h"
#include "tools/drawtender/session/script_words.h"
#include "tools/manual/pages.h"
#include "tools/manual/roff.h"

static void print_row(const struct script_word_row *row, FILE *out) {
    char text[512];
    snprintf(text, sizeof text, "%s.", row->what);
    roff_item(out, row->form);
    roff_text(out, text);
}

static void print_limits(FILE *out) {
    char text[512];
    snprintf(text, sizeof text,
             "Lines have at most %d characters of printable ASCII (comments: any); includes nest "
             "at most %d and repeats %d deep, a repeat counts to %d, %d files and %d steps in all. "
             "Times are written as for `--limit`, without a space in `expect`. The whole script is "
             "read first: with a mistake in it nothing is sent.",
             SCRIPT_LINE_MAX - 1, SCRIPT_INCLUDES_MAX, SCRIPT_REPEATS_MAX, SCRIPT_REPEAT_MAX,
             SCRIPT_FILES_MAX, SCRIPT_STEPS_MAX);
    roff_paragraph(out, text);
}

void page_session(FILE *out) {
    roff_section(out, "DESCRIPTION");
    roff_text(out, "A session script is a text file that `drawtender perform` runs: lines of the "
                   "protocol exactly as sent, comments that begin with `#`, and the lines below.");
    roff_paragraph(out, "The bridge must be lined and its track power on before a script starts. "
                        "However a script ends, Ctrl-C and a failed line included, the bridge is "
                        "left safe.");
    roff_section(out, "LINES");
    print_row(&script_protocol_lines, out);
    for (size_t i = 0; i < SCRIPT_WORDS; i++) {
        print_row(&script_words[i], out);
    }
    print_limits(out);
    roff_section(out, "EXAMPLES");
    roff_text(out, "One opening for a boat:");
    roff_literal(out, "on failure stop\n"
                      "say A boat asks for passage.\n"
                      "SET 1 GA 1 1 1 -1\n"
                      "expect 5min 1 FB 3 1 the span is open, trains away\n"
                      "SET 1 GA 1 0 1 -1\n"
                      "expect 5min 1 FB 5 1 the bridge is lined for rail again\n");
    roff_paragraph(out, "Check it against the running daemon, moving nothing, and run it:");
    roff_literal(out, "drawtender perform evening.script --dry-run\n"
                      "drawtender perform evening.script\n");
    roff_section(out, "CAUTION");
    roff_text(out, "A script moves the span while nobody may be looking. Watch the first runs, "
                   "keep clear, and have the hard-wired emergency stop within reach. "
                   "A script asks like any client: the interlock decides, and it may refuse. This "
                   "software is not a safety device.");
}
