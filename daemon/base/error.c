#include "base/error.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>

bool error_set(struct error *error, const char *where, const char *format, ...) {
    if (error == NULL) {
        return false;
    }
    snprintf(error->where, sizeof error->where, "%s", where);
    va_list words;
    va_start(words, format);
    vsnprintf(error->what, sizeof error->what, format, words);
    va_end(words);
    return false;
}
