/* measure_topics.h: what can be measured at home: for each topic the procedure, the readings that
 * it wants, and the sums that make configuration values of them. */
#ifndef TOOLS_DRAWTENDER_MEASURE_TOPICS_H
#define TOOLS_DRAWTENDER_MEASURE_TOPICS_H

#include "config/reader/quantity.h"
#include "config/settings.h"

#include <stdbool.h>
#include <stddef.h>

enum { MEASURE_READINGS_MAX = 16, MEASURE_RESULTS_MAX = 12, MEASURE_SNIPPET_SIZE = 512 };

struct measure_reading {
    const char *name;    /* "toe"; written "toe=2.25 m" */
    const char *example; /* "2.25 m" */
    enum quantity quantity;
    bool is_weight; /* a mass is taken for its weight: a kitchen scale shows grams */
    bool is_required;
    const char *help;
};

struct measure_result {
    const char *key; /* in JSON: SI, the unit at its end */
    const char *what;
    double value;
    const char *unit;
    double spread; /* how far it may be off, from how far the readings may be; 0: nobody says */
};

struct measure_results {
    unsigned count;
    struct measure_result result[MEASURE_RESULTS_MAX];
    char snippet[MEASURE_SNIPPET_SIZE]; /* JSON for the configuration; "": none */
    const char *note;                   /* what to mind; NULL: nothing */
};

struct measure_topic {
    const char *name;
    const char *what;
    const char *const *procedure;                         /* sentences; NULL after the last */
    bool wants_bridge;                                    /* its file comes first */
    struct measure_reading reading[MEASURE_READINGS_MAX]; /* a NULL name ends it */
    /* `value` in the order of the readings, NAN where not given; returns NULL, or what is wrong. */
    const char *(*run)(const struct config_bridge *bridge, const double *value,
                       struct measure_results *results);
};

/* NULL after the last. */
const struct measure_topic *measure_topic(size_t index);

#endif
