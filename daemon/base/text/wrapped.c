/* Text for a terminal, broken between words. */
#include "base/text/wrapped.h"

#include <string.h>

enum { COLUMNS = 79 };

/* Prints the words from column `at` on; a new line begins after `indent` blanks. */
static void print_words(FILE *out, unsigned at, unsigned indent, const char *text) {
    for (text += strspn(text, " "); text[0] != '\0'; text += strspn(text, " ")) {
        unsigned length = (unsigned)strcspn(text, " ");
        if (at > indent && at + 1 + length > COLUMNS) {
            fprintf(out, "\n%*s", (int)indent, "");
            at = indent;
        } else if (at > indent) {
            fputc(' ', out);
            at++;
        }
        fprintf(out, "%.*s", (int)length, text);
        at += length;
        text += length;
    }
    fputc('\n', out);
}

void wrapped_text(FILE *out, unsigned indent, const char *text) {
    fprintf(out, "%*s", (int)indent, "");
    print_words(out, indent, indent, text);
}

void wrapped_row(FILE *out, const char *left, unsigned indent, const char *text) {
    if (text[0] == '\0') {
        fprintf(out, "%s\n", left);
    } else if (strlen(left) >= indent) {
        fprintf(out, "%s\n", left);
        wrapped_text(out, indent, text);
    } else {
        fprintf(out, "%-*s", (int)indent, left);
        print_words(out, indent, indent, text);
    }
}
