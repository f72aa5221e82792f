/* link_points.h: what another server says of the values that a link follows: told unasked by its
 * INFO session, and asked for over its COMMAND session. A value that INFO has never told is not
 * known, whatever GET answers: only who is told of changes can be trusted to go on telling.
 * Pure: no clock, no sockets. */
#ifndef IO_LINK_POINTS_H
#define IO_LINK_POINTS_H

#include "io/link/link_setup.h"
#include "protocol/client.h"

#include <stdbool.h>
#include <stddef.h>

enum { LINK_POINTS_MAX = 3 * LINK_LINES_MAX, LINK_LINE_SIZE = 96 };

struct link_point {
    struct link_value at;
    bool is_told;
    int32_t told;    /* by INFO, last */
    bool must_ask;   /* a GET is wanted soon */
    bool is_doubted; /* the last GET said otherwise, or was answered by an error */
    bool is_passed;  /* INFO told it since that GET was written: the answer may be the older one */
};

struct link_points {
    unsigned count;
    struct link_point point[LINK_POINTS_MAX];
};

/* The point of this value, new or the one that it has already. */
unsigned link_points_add(struct link_points *points, struct link_value at);

/* Nothing is known any more: a new connection. */
void link_points_forget(struct link_points *points);

/* Takes in a line of the INFO session. Returns whether it was about one of the points. */
bool link_points_told(struct link_points *points, const struct srcp_answer *answer);

/* "GET 2 GA 21 1", to be sent at once. */
void link_point_get(struct link_point *point, char line[LINK_LINE_SIZE]);

/* Takes in the reply to it. Returns false for a reply that does not belong to the request. */
bool link_point_answered(struct link_point *point, const struct srcp_answer *answer);

/* For the log: "GA 21 port 1 on bus 2". */
void link_value_words(struct link_value at, char words[LINK_LINE_SIZE]);

#endif
