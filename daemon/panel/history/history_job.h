/* history_job.h: one job of the thread: what is wanted, and what came of it. Touches nothing of the
 * loop's. */
#ifndef PANEL_HISTORY_JOB_H
#define PANEL_HISTORY_JOB_H

#include "config/config.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum history_kind { HISTORY_LISTS = 0, HISTORY_SIZING, HISTORY_TREND, HISTORY_OPENING };

/* The latest of each, in a list. */
enum { HISTORY_OPENINGS_MAX = 100, HISTORY_FAULTS_MAX = 100 };

enum { HISTORY_WHAT_SIZE = 16 };

/* All zero but what is said. */
struct history_want {
    enum history_kind kind;
    unsigned bridge;
    int64_t number;               /* HISTORY_OPENING */
    char what[HISTORY_WHAT_SIZE]; /* HISTORY_SIZING: "leaf" and so on */
};

struct history_yield {
    int code; /* of HTTP */
    const char *type;
    char *bytes; /* by malloc(); NULL: no memory */
    size_t length;
};

/* Whether both want the same. */
bool history_job_is_same(const struct history_want *one, const struct history_want *other);

/* Reads or draws it. */
void history_job_do(const struct config *config, const struct history_want *want,
                    struct history_yield *yield);

#endif
