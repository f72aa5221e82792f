/* log.h: lines to stderr with a level. One line an event: what happened, to which device, with
 * units. */
#ifndef BASE_LOG_H
#define BASE_LOG_H

enum log_level { LOG_ERROR = 0, LOG_WARNING, LOG_NOTICE, LOG_DEBUG };

/* Lines above `level` are dropped; LOG_NOTICE at first. */
void log_set_level(enum log_level level);

/* One of "error", "warning", "notice", "debug"; returns false and leaves `level` for any other
 * word. */
_Bool log_level_parse(const char *word, enum log_level *level);

void log_line(enum log_level level, const char *format, ...) __attribute__((format(printf, 2, 3)));

#endif
