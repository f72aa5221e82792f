/* log.h: lines to stderr with a level. One line an event: what happened, to which device, with
 * units. Once log_begin() was called a line costs its caller no time, however slowly it is read:
 * a thread writes it. Where that thread falls behind lines are lost, and how many is told. */
#ifndef BASE_LOG_H
#define BASE_LOG_H

#include "base/log_level.h"

#include <stdbool.h>
#include <stdint.h>

/* Lines above `level` are dropped; LOG_NOTICE at first. */
void log_set_level(enum log_level level);

/* One of "error", "warning", "notice", "debug"; returns false and leaves `level` for any other
 * word. */
bool log_level_parse(const char *word, enum log_level *level);

/* From any thread. A line too long is cut. */
void log_line(enum log_level level, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Starts the thread that writes from now on. Returns false, changing nothing, if it cannot be made.
 */
bool log_begin(void);

/* Ends what log_begin() began, and lets what is waiting be written, for `within_ms` at the longest.
 * No other thread may log meanwhile. Returns whether all was written. */
bool log_end(uint32_t within_ms);

#endif
