#include "base/log.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

static const char *const level_names[] = {"error", "warning", "notice", "debug"};
static enum log_level most = LOG_NOTICE;

void log_set_level(enum log_level level) {
    most = level;
}

bool log_level_parse(const char *word, enum log_level *level) {
    for (size_t i = 0; i < sizeof level_names / sizeof level_names[0]; i++) {
        if (strcmp(word, level_names[i]) == 0) {
            *level = (enum log_level)i;
            return true;
        }
    }
    return false;
}

void log_line(enum log_level level, const char *format, ...) {
    if (level > most) {
        return;
    }
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    struct tm day;
    localtime_r(&now.tv_sec, &day);

    /* Composed first, so that a line goes out in one write. */
    char line[512];
    va_list words;
    va_start(words, format);
    vsnprintf(line, sizeof line, format, words);
    va_end(words);
    fprintf(stderr, "%02d:%02d:%02d.%03ld %-7s %s\n", day.tm_hour, day.tm_min, day.tm_sec,
            now.tv_nsec / 1000000, level_names[level], line);
}
