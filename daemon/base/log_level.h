/* log_level.h: how much a line of the log matters; the most urgent first. */
#ifndef BASE_LOG_LEVEL_H
#define BASE_LOG_LEVEL_H

enum log_level { LOG_ERROR = 0, LOG_WARNING, LOG_NOTICE, LOG_DEBUG };

#endif
