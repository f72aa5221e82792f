#include "io/wired/edge_limit.h"

#include "io/wired/time_left.h"

enum { WINDOW_US = 1000000 };

unsigned edge_limit_recent(const struct edge_limit *limit, uint64_t at_us) {
    return at_us - limit->since_us < WINDOW_US ? limit->edges : 0;
}

bool edge_limit_is_over(struct edge_limit *limit, unsigned edges, unsigned most, uint64_t at_us) {
    if (at_us - limit->since_us >= WINDOW_US) { /* also when that clock was set back */
        limit->since_us = at_us;
        limit->edges = 0;
    }
    limit->edges += edges;
    return limit->edges > most;
}

void edge_limit_begin_storm(struct edge_limit *limit) {
    limit->is_storm = true;
    limit->was_looked = false;
}

bool edge_limit_is_due(struct edge_limit *limit, uint64_t now_us) {
    if (limit->is_storm && !limit->was_looked) {
        limit->was_looked = true;
        limit->looked_us = now_us;
    }
    return limit->is_storm && now_us - limit->looked_us >= EDGE_LIMIT_QUIET_US;
}

void edge_limit_looked(struct edge_limit *limit, unsigned found, uint64_t now_us) {
    limit->looked_us = now_us;
    if (found == 0) {
        *limit = (struct edge_limit){.is_storm = false};
    }
}

uint32_t edge_limit_wake_us(const struct edge_limit *limit, uint64_t now_us) {
    if (!limit->is_storm) {
        return UINT32_MAX;
    }
    return limit->was_looked ? time_left_us(limit->looked_us, EDGE_LIMIT_QUIET_US, now_us) : 0;
}
