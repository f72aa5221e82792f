/* logbook.h: what a record tells of one bridge: openings, movements, faults, trains that waited,
 * current, and when service is due. Read from the events and traces, whatever core wrote them. */
#ifndef RECORDS_LOGBOOK_H
#define RECORDS_LOGBOOK_H

#include "base/error.h"
#include "core/data/state.h"
#include "records/event.h"
#include "records/store.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { LOGBOOK_NAME_SIZE = 48, LOGBOOK_STEPS_MAX = 48 };

/* An event, and its number in the record. */
struct logbook_event {
    int64_t number;
    int64_t run;
    struct event event;
};

enum logbook_outcome {
    LOGBOOK_UNDER_WAY = 0, /* as far as the record goes */
    LOGBOOK_WHOLE,         /* up and down again */
    LOGBOOK_NOT_RAISED,    /* given up or lined again before it was open */
    LOGBOOK_FAULTED,       /* a fault on the way; lined since */
    LOGBOOK_CUT_OFF,       /* the daemon ended, or what follows was lost */
    LOGBOOK_OUTCOMES
};

struct logbook_step {
    enum bridge_phase phase;
    uint64_t at_us;
    double position_frac;
};

/* From the request to raise until it is lined for rail again. */
struct logbook_opening {
    int64_t number; /* 1 is the first that the record has */
    int64_t event;  /* the number of its first event: it stays when older ones go */
    int64_t run;
    int32_t who;
    enum logbook_outcome outcome;
    uint64_t asked_us;
    uint64_t open_us;      /* 0: never */
    uint64_t ended_us;     /* of its last event */
    uint64_t trains_us;    /* how long trains waited meanwhile, all together */
    unsigned trains;       /* that waited */
    double most_a, mean_a; /* while it moved; not a number: not measured, or it has no end */
    unsigned steps;
    struct logbook_step step[LOGBOOK_STEPS_MAX];
};

struct logbook_movement {
    int64_t number, run;
    uint64_t began_us, ended_us; /* 0: no end is recorded */
    bool is_up;
    int32_t who;
    char cause[ITEM_WORDS_SIZE];
    double from_frac, to_frac; /* not a number: not known */
};

/* One run of the daemon. */
struct logbook_run {
    int64_t run;
    uint64_t began_us, ended_us; /* 0: it did not end in order, or has not yet */
    unsigned openings, movements, faults, refusals, stops, sessions;
    uint64_t moved_us;
};

struct logbook_service {
    uint64_t since_us; /* the last service; 0: none is recorded, the record's beginning counts */
    unsigned openings; /* since then */
    uint64_t moved_us;
    unsigned openings_most; /* 0: not reckoned */
    uint64_t moved_most_us; /* 0: not reckoned */
};

struct logbook {
    char name[LOGBOOK_NAME_SIZE];
    unsigned bus;
    double travel; /* whole travel in `unit` */
    char unit[8];
    struct logbook_event *event; /* all in order; those of the daemon as a whole too */
    size_t events;
    struct logbook_opening *opening;
    size_t openings;
    struct logbook_movement *movement;
    size_t movements;
    struct logbook_run *run;
    size_t runs;
    struct logbook_service service;
};

/* What the record says of the bridge on this bus between these times; service always reckons with
 * all there is. To be freed, also after an error. Returns false and fills error->what. */
bool logbook_read(struct logbook *logbook, struct store *store, unsigned bus, uint64_t from_us,
                  uint64_t to_us, struct error *error);
void logbook_free(struct logbook *logbook);

/* Whether it came to an end: it is not under way, and the record has all of it. */
bool logbook_has_ended(const struct logbook_opening *opening);

/* NULL: none has this number. */
const struct logbook_opening *logbook_opening(const struct logbook *logbook, int64_t number);

/* One word, hyphens within. Static storage. */
const char *logbook_outcome_name(enum logbook_outcome outcome);

/* Gives every point of the traces between these times to `take`, in order. */
struct trace_point;
bool logbook_trace(struct store *store, unsigned bus, uint64_t from_us, uint64_t to_us,
                   void *context, void (*take)(void *context, const struct trace_point *point),
                   struct error *error);

/* Notes that the lift of the bridge on this bus was serviced: at `now_us`, or at the time of the
 * newest event, for layout time may be ahead. */
bool logbook_serviced(struct store *store, unsigned bus, uint64_t now_us, struct error *error);

#endif
