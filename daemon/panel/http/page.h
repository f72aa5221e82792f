/* page.h: the files of the page, which are part of the program: daemon/panel/page/, made into bytes
 * by embed.cmake when the program is built. */
#ifndef PANEL_PAGE_H
#define PANEL_PAGE_H

#include <stddef.h>

struct page_file {
    const char *name;                    /* without a folder */
    const char *tag;                     /* of its contents, with the quotes that an ETag has */
    const unsigned char *plain, *packed; /* packed: gzip (RFC 1952) */
    size_t plain_length, packed_length;
};

/* Ends with a name that is NULL. */
extern const struct page_file page_files[];

/* By exactly this name, or NULL. */
const struct page_file *page_find(const char *name);

/* By the name's ending; for what is not in the table "application/octet-stream". */
const char *page_type(const char *name);

struct evhttp_request;

/* GET of one: packed where the browser takes that, nothing where it has it already. */
void page_answer(struct evhttp_request *request, const struct page_file *file);

#endif
