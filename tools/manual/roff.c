#include "tools/manual/roff.h"

#include "tools/manual/form.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

enum { COLUMNS = 66 }; /* with room for escapes below the 80 bytes that mandoc -T lint asks for */

/* Reads one character of UTF-8 and moves on; what is malformed comes as single bytes. */
static uint32_t take_character(const char **text) {
    const unsigned char *at = (const unsigned char *)*text;
    unsigned more = at[0] >= 0xf0 ? 3 : at[0] >= 0xe0 ? 2 : at[0] >= 0xc0 ? 1 : 0;
    uint32_t character = more > 0 ? at[0] & (0x3fu >> more) : at[0];
    for (unsigned i = 1; i <= more; i++) {
        if ((at[i] & 0xc0) != 0x80) {
            *text += 1;
            return at[0];
        }
        character = character << 6 | (at[i] & 0x3f);
    }
    *text += more + 1;
    return character;
}

/* Prints what roff would take for something else as what it is. A plain '-' may become a hyphen
 * that no shell knows: as part of what is typed it must stay a minus. */
static void print_escaped(FILE *out, const char *text, size_t length, bool is_typed) {
    const char *end = text + length;
    while (text < end) {
        uint32_t character = take_character(&text);
        if (character == '\\') {
            fputs("\\e", out);
        } else if (character == '-' && is_typed) {
            fputs("\\-", out);
        } else if (character == '^') {
            fputs("\\(ha", out);
        } else if (character == '~') {
            fputs("\\(ti", out);
        } else if (character >= 0x80) {
            fprintf(out, "\\[u%04X]", (unsigned)character);
        } else {
            fputc((int)character, out);
        }
    }
}

static bool is_typed(const char *word, size_t length) {
    return word[0] == '-' || memchr(word, '/', length) != NULL || memchr(word, '_', length) != NULL;
}

/* Prints one word; a back quote, as of Markdown, begins or ends what is typed. */
static void print_word(FILE *out, const char *word, size_t length, bool begins_line,
                       bool *is_code) {
    if (begins_line && (word[0] == '.' || word[0] == '\'')) {
        fputs("\\&", out);
    }
    for (const char *end = word + length; word < end; word++) {
        const char *quote = memchr(word, '`', (size_t)(end - word));
        const char *stop = quote != NULL ? quote : end;
        print_escaped(out, word, (size_t)(stop - word),
                      *is_code || is_typed(word, (size_t)(stop - word)));
        if (quote != NULL) {
            *is_code = !*is_code;
            fputs(*is_code ? "\\fB" : "\\fR", out);
        }
        word = stop;
    }
}

void roff_text(FILE *out, const char *text) {
    static const char blanks[] = " \n";
    size_t at = 0;
    bool is_code = false;
    for (text += strspn(text, blanks); text[0] != '\0'; text += strspn(text, blanks)) {
        size_t length = strcspn(text, blanks);
        if (at > 0 && at + 1 + length > COLUMNS) {
            fputc('\n', out);
            at = 0;
        } else if (at > 0) {
            fputc(' ', out);
            at++;
        }
        print_word(out, text, length, at == 0, &is_code);
        at += length;
        bool ends = length > 1 && strchr(".?!", text[length - 1]) != NULL;
        text += length;
        if (ends && text[0] != '\0') { /* a new sentence is a new line */
            fputc('\n', out);
            at = 0;
        }
    }
    fputs(at > 0 ? "\n" : "", out);
}

void roff_page(FILE *out, const char *name, const char *section, const char *date,
               const char *what) {
    fputs(".\\\" Made from the program's own tables: see tools/manual.\n.TH ", out);
    for (const char *c = name; *c != '\0'; c++) {
        fputc(toupper((unsigned char)*c), out);
    }
    fprintf(out, " %s %s drawtender \"drawtender manual\"\n.SH NAME\n", section, date);
    print_escaped(out, name, strlen(name), true);
    fputs(" \\- ", out);
    roff_text(out, what);
}

void roff_section(FILE *out, const char *title) {
    fprintf(out, ".SH %s\n", title);
}

void roff_subsection(FILE *out, const char *title) {
    fprintf(out, ".SS %s\n", title);
}

void roff_paragraph(FILE *out, const char *text) {
    fputs(".PP\n", out);
    roff_text(out, text);
}

/* Prints how something is used: bold what is typed, italic what is filled in. */
static void print_form(FILE *out, const char *form) {
    static const char around[] = " []|=";
    while (form[0] != '\0') {
        size_t length = strcspn(form, around);
        while (length > 0 && form[length - 1] == '.') {
            length--;
        }
        if (length == 0) {
            fputc(form[0], out);
            form++;
            continue;
        }
        fputs(form_is_placeholder(form, length) ? "\\fI" : "\\fB", out);
        print_escaped(out, form, length, true);
        fputs("\\fR", out);
        form += length;
    }
    fputc('\n', out);
}

void roff_item(FILE *out, const char *form) {
    fputs(".TP\n", out);
    print_form(out, form);
}

void roff_literal(FILE *out, const char *lines) {
    fputs(".PP\n.RS 4\n.nf\n", out);
    while (lines[0] != '\0') {
        size_t length = strcspn(lines, "\n");
        fputs(lines[0] == '.' || lines[0] == '\'' ? "\\&" : "", out);
        print_escaped(out, lines, length, true);
        fputc('\n', out);
        lines += length + (lines[length] == '\n');
    }
    fputs(".fi\n.RE\n", out);
}

void roff_reference(FILE *out, const char *name, const char *section, const char *after) {
    fprintf(out, ".BR ");
    print_escaped(out, name, strlen(name), true);
    fprintf(out, " (%s)%s\n", section, after);
}
