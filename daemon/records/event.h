/* event.h: what a step, a session or a line of news is worth telling, in words that stay. */
#ifndef RECORDS_EVENT_H
#define RECORDS_EVENT_H

#include "core/data/setup.h"
#include "records/item.h"

#include <stdbool.h>
#include <stdint.h>

enum event_kind {
    EVENT_ASKED = 0,   /* granted; what: the request */
    EVENT_REFUSED,     /* what: the request; words: the reason */
    EVENT_STOPPED,     /* stop or emergency stop, granted */
    EVENT_PHASE,       /* what: the new one; words: what it waits for */
    EVENT_FAULT,       /* what: its name */
    EVENT_GIVEN_UP,    /* an opening: trains did not clear in time */
    EVENT_MOVED,       /* the span begins to move; what: up or down; words: the cause */
    EVENT_RESTED,      /* it has come to rest; what: up or down */
    EVENT_TRAIN_WAITS, /* before a home signal; what: "main.west" */
    EVENT_TRAIN_GOES,
    EVENT_SESSION_BEGAN,
    EVENT_SESSION_ENDED,
    EVENT_NEWS,
    EVENT_LOST,     /* words: how much could not be kept */
    EVENT_SERVICED, /* somebody reports that the lift was serviced */
    EVENTS
};

enum { EVENT_WHAT_SIZE = 112, EVENT_NO_BRIDGE = -1 };

struct event {
    enum event_kind kind;
    int bridge; /* index, or EVENT_NO_BRIDGE */
    uint64_t at_us;
    uint64_t serial;      /* of the step; 0: none */
    int32_t who;          /* session; 0: nobody of the protocol */
    double position_frac; /* not a number: not known */
    char what[EVENT_WHAT_SIZE];
    char words[ITEM_WORDS_SIZE];
};

/* One word, hyphens within. Static storage. */
const char *event_kind_name(enum event_kind kind);
/* Returns false for any other word. */
bool event_kind_find(const char *name, enum event_kind *kind);

/* What is remembered of a bridge from step to step; all zero at the start. */
struct event_memory {
    enum bridge_request_kind cause; /* the last request that was granted */
    int32_t who;
    uint64_t jogged_us;
    int direction; /* the span moves: 1 up, -1 down */
    bool is_waiting[BRIDGE_TRACKS_MAX][TRACK_ENDS];
};

/* Names of a bridge's tracks. */
struct event_places {
    char end[BRIDGE_TRACKS_MAX][TRACK_ENDS][EVENT_WHAT_SIZE]; /* "main.west" */
};

struct event_sink {
    void *context;
    void (*take)(void *context, const struct event *event);
};

/* Returns whether a step has an event that must be in the record even if the daemon dies at once: a
 * fault, a stop or a refusal. Takes next to no time, for the control loop. */
bool event_is_urgent(const struct item_step *step);

/* Gives the events of one item to the sink, in order. `setup` and `places` are of its bridge. */
void event_find(const struct bridge_setup *setup, const struct event_places *places,
                struct event_memory *memory, const struct item *item,
                const struct event_sink *sink);

#endif
