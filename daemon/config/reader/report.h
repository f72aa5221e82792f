/* report.h: all that is wrong with a configuration, in one list. Nothing is printed here. */
#ifndef CONFIG_REPORT_H
#define CONFIG_REPORT_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

enum { CONFIG_COMPLAINTS_MAX = 64 };

/* `where` is a JSON Pointer (RFC 6901) such as "/bridges/0/lift/travel", or "line 3, column 7" for
 * text that is not JSON, or a file's name; `what` says what was found and what is wanted. Control
 * characters in either are shown as '?'. */
struct config_list {
    size_t count; /* of all; only the first CONFIG_COMPLAINTS_MAX are kept */
    struct error complaint[CONFIG_COMPLAINTS_MAX];
};

/* Errors refuse the configuration; warnings do not. */
struct config_report {
    struct config_list errors;
    struct config_list warnings;
    size_t missing; /* of the errors: nothing is wrong but that something is not said */
    size_t misfits; /* of the errors: all is written well, but what it describes would not work */
};

/* Always returns false, to be returned on. */
bool config_list_add(struct config_list *list, const char *where, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* How many are kept. */
size_t config_list_kept(const struct config_list *list);

#endif
