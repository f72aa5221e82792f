/* nodes_point.h: what other nodes say of one pair of events. An event has no sender that could be
 * trusted, so a report alone never makes anything clear, at stop or dead: its producer is asked,
 * and only its answer does; a report of the contrary counts at once. What is not confirmed again
 * and again is not known, nor is what two nodes contradict one another about. Pure; times in
 * microseconds. */
#ifndef IO_NODES_POINT_H
#define IO_NODES_POINT_H

#include "core/data/level.h"

#include <stdbool.h>
#include <stdint.h>

enum nodes_word {
    NODES_REPORTS = 0, /* the event has come */
    NODES_HOLDS,       /* a producer answers: it holds; does not hold; it cannot tell */
    NODES_HOLDS_NOT,
    NODES_CANNOT_TELL
};

/* No answer comes later than this (Message Network S: 750 ms, and its way). */
enum { NODES_ANSWER_US = 1000000, NODES_AGAIN_US = 50000 };

/* All zero but the events knows nothing. */
struct nodes_point {
    uint64_t event[2]; /* as in nodes_setup.h */
    enum level level;  /* as last said */
    bool is_confirmed;
    uint64_t confirmed_us;
    bool must_ask; /* soon: a report came, or a command went */
    bool was_asked;
    uint64_t asked_us;
    unsigned awaited; /* answers that have not come yet */
    unsigned older;   /* of these, asked for before the last command: they prove nothing */
    bool has_answer;  /* since it was asked last */
    uint16_t source;  /* of that answer */
    enum level answer;
    bool is_disputed, is_disputed_anew; /* since it was asked before; since it was asked last */
};

/* Nothing is known any more: the bus was lost. */
void nodes_point_forget(struct nodes_point *point);

/* Takes in what was said of an event. Returns whether the reading may be another now, or there is
 * something to ask. */
bool nodes_point_said(struct nodes_point *point, enum nodes_word word, uint64_t event,
                      uint16_t source, uint64_t now_us);

/* A command went to what this point shows: what is under way is older than it. */
void nodes_point_doubt(struct nodes_point *point);

/* When its producer is to be asked. */
uint64_t nodes_point_due_us(const struct nodes_point *point, uint32_t beat_us);

/* It was asked whether event[1] holds. */
void nodes_point_asked(struct nodes_point *point, uint64_t now_us);

/* Returns what it is now; LEVEL_UNKNOWN if nobody has confirmed it for `stale_us`. */
enum level nodes_point_level(const struct nodes_point *point, uint32_t stale_us, uint64_t now_us);

/* When that will be, if nobody does; UINT64_MAX: it is not known already. */
uint64_t nodes_point_stale_us(const struct nodes_point *point, uint32_t stale_us);

#endif
