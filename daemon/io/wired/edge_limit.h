/* edge_limit.h: how many edges a GPIO line may have. Each edge is an event of the loop that goes
 * before everything else, so a line that chatters without end would keep the network, the end and
 * the watchdogs' timer from their turns. A line with too many edges in a second is in a storm: its
 * edges are not listened to any more and it reads nothing (S5), until a look finds that a whole
 * second brought none.
 * Pure; times in microseconds. */
#ifndef IO_EDGE_LIMIT_H
#define IO_EDGE_LIMIT_H

#include <stdbool.h>
#include <stdint.h>

enum {
    /* A bouncing contact makes tens of edges, a detector that shows each half wave of 60 Hz makes
     * 240 in a second. */
    EDGE_LIMIT_LINE = 300,
    EDGE_LIMIT_ALL = 2000, /* of all inputs of a bridge together */
    EDGE_LIMIT_ENCODER = 2000,
    EDGE_LIMIT_QUIET_US = 1000000
};

struct edge_limit {
    uint64_t since_us; /* counted since */
    unsigned edges;
    bool is_storm;
    bool was_looked; /* looked_us is known */
    uint64_t looked_us;
};

/* Counts edges, the last of which was at `at_us`. Returns whether there were more than `most`
 * within a second. */
bool edge_limit_is_over(struct edge_limit *limit, unsigned edges, unsigned most, uint64_t at_us);

/* Returns the edges in the second that `at_us` is in. */
unsigned edge_limit_recent(const struct edge_limit *limit, uint64_t at_us);

void edge_limit_begin_storm(struct edge_limit *limit);

/* Returns whether it is time to look for new edges of a line in a storm. The first call, soon after
 * the storm began, begins the first second. */
bool edge_limit_is_due(struct edge_limit *limit, uint64_t now_us);

/* Takes in how many were found: none ends the storm. */
void edge_limit_looked(struct edge_limit *limit, unsigned found, uint64_t now_us);

/* Returns the time until the next look; UINT32_MAX: there is no storm. */
uint32_t edge_limit_wake_us(const struct edge_limit *limit, uint64_t now_us);

#endif
