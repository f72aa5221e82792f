/* pages.h: the manual pages, each out of the tables of the program that it is about. */
#ifndef TOOLS_MANUAL_PAGES_H
#define TOOLS_MANUAL_PAGES_H

#include <stdio.h>

struct page {
    const char *name;         /* "drawtender.json" */
    const char *section;      /* "5" */
    const char *what;         /* what it is about, for whatis(1): a phrase without a final stop */
    void (*print)(FILE *out); /* all that comes after the NAME section */
};

/* Every page; a page without a name ends the list. */
extern const struct page pages[];

/* Prints the whole page. `date` as 2026-03-01. */
void page_print(const struct page *page, const char *date, FILE *out);

/* Prints SEE ALSO: all other pages. */
void page_see_also(const char *own_name, FILE *out);

void page_daemon(FILE *out);
void page_tool(FILE *out);
void page_config(FILE *out);
void page_session(FILE *out);

#endif
