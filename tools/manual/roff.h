/* roff.h: text as a manual page: the macros of man(7), which man and mandoc both read. */
#ifndef TOOLS_MANUAL_ROFF_H
#define TOOLS_MANUAL_ROFF_H

#include <stdio.h>

/* Begins a page: its name, its section, and what it is about, for whatis(1). `date` as 2026-03-01.
 */
void roff_page(FILE *out, const char *name, const char *section, const char *date,
               const char *what);

/* Begins a section or, within it, a subsection. */
void roff_section(FILE *out, const char *title);
void roff_subsection(FILE *out, const char *title);

/* Prints a paragraph; blanks and ends of lines part its words. */
void roff_paragraph(FILE *out, const char *text);

/* Begins a paragraph whose first line is `form`: capitals are placeholders, all else stands as
 * typed. The texts that follow belong to it. */
void roff_item(FILE *out, const char *form);

/* Prints text that goes on in the paragraph there is. */
void roff_text(FILE *out, const char *text);

/* Prints lines as they stand, indented. */
void roff_literal(FILE *out, const char *lines);

/* Prints a page that is referred to: "drawtender(1)", with what follows it, such as ",". */
void roff_reference(FILE *out, const char *name, const char *section, const char *after);

#endif
