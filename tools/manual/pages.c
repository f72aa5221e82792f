/* The table of manual pages. */
#include "tools/manual/pages.h"

#include "tools/manual/roff.h"

#include <string.h>

const struct page pages[] = {
    {"drawtender", "1", "operates a model railroad's drawbridge from the command line", page_tool},
    {"drawtender-session", "5", "scripts of operating sessions with a drawbridge", page_session},
    {"drawtender.json", "5", "configuration of drawtenderd, the drawbridge daemon", page_config},
    {"drawtenderd", "8", "operates the drawbridges of a model railroad", page_daemon},
    {0},
};

void page_print(const struct page *page, const char *date, FILE *out) {
    roff_page(out, page->name, page->section, date, page->what);
    page->print(out);
    page_see_also(page->name, out);
}

void page_see_also(const char *own_name, FILE *out) {
    unsigned left = 0;
    for (const struct page *page = pages; page->name != NULL; page++) {
        left += strcmp(page->name, own_name) != 0;
    }
    roff_section(out, "SEE ALSO");
    for (const struct page *page = pages; page->name != NULL; page++) {
        if (strcmp(page->name, own_name) != 0) {
            roff_reference(out, page->name, page->section, --left > 0 ? "," : "");
        }
    }
}
