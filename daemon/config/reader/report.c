#include "config/reader/report.h"

#include <stdarg.h>
#include <stdio.h>

/* What a file holds is shown on terminals and in logs. */
static void make_printable(char *text) {
    for (; *text != '\0'; text++) {
        if ((unsigned char)*text < 0x20 || *text == 0x7f) {
            *text = '?';
        }
    }
}

bool config_list_add(struct config_list *list, const char *where, const char *format, ...) {
    if (list->count < CONFIG_COMPLAINTS_MAX) {
        struct error *error = &list->complaint[list->count];
        va_list words;
        snprintf(error->where, sizeof error->where, "%s", where);
        va_start(words, format);
        vsnprintf(error->what, sizeof error->what, format, words);
        va_end(words);
        make_printable(error->where);
        make_printable(error->what);
    }
    list->count++;
    return false;
}

size_t config_list_kept(const struct config_list *list) {
    return list->count < CONFIG_COMPLAINTS_MAX ? list->count : CONFIG_COMPLAINTS_MAX;
}
